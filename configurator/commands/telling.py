"""What commands say: answers to standard output, everything else to standard error, faults with an exit code."""

from __future__ import annotations

import errno
import json
import os
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.verify import CheckFailed

FAULT, BAD_INPUT, INTERRUPTED, BROKEN_PIPE = 1, 2, 130, 141


def show(text: str, *, exact: bool = False) -> None:
    """To standard output; data is UTF-8 whatever the terminal, tables show `?` for what it can't."""
    if sys.stdout is None:  # closed before the start: `>&-`
        raise OSError(errno.EBADF, "standard output is closed")
    data = text.encode() if exact else text.encode(sys.stdout.encoding or "utf-8", "replace")
    sys.stdout.flush()
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()


def put(output: Path | None, text: str, *, exact: bool) -> None:
    """To a file, whole or not at all; without one to standard output."""
    from configurator.output import write_whole

    if output is not None:
        write_whole(output, text.encode())
    else:
        show(text, exact=exact)


@contextmanager
def told() -> Iterator[None]:
    """Whatever goes wrong is told in words, with its exit code."""
    from configurator import messages
    from configurator.errors import BadInput
    from configurator.verify import CheckFailed

    try:
        yield
    except typer.Exit:
        raise
    except BadInput as error:
        say(str(error))
        raise typer.Exit(BAD_INPUT) from None
    except BrokenPipeError:
        # The reader has gone (`| head`): nothing more can be told it, not at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise typer.Exit(BROKEN_PIPE) from None
    except (KeyboardInterrupt, typer.Abort):
        raise typer.Exit(INTERRUPTED) from None
    except CheckFailed as error:
        say(messages.check_failed(((rule, one.text) for rule, one in error.breaches), _dump(error)))
        raise typer.Exit(FAULT) from None
    except OSError as error:
        say(messages.unwritten(error.strerror or type(error).__name__))
        raise typer.Exit(FAULT) from None
    except Exception as error:  # noqa: BLE001 -- the last resort: a fault of ours never shows a trace unasked
        if os.environ.get("CONFIGURATOR_TRACE") == "1":
            traceback.print_exc()
        say(messages.fault(f"{type(error).__name__}: {error}"))
        raise typer.Exit(FAULT) from None


def say(text: str) -> None:
    """To standard error."""
    from configurator.render.style import printable

    typer.echo(printable(text), err=True)


def _dump(error: CheckFailed) -> str | None:
    """What is needed to look into a rejected build, in a file of its own; none where none can be written."""
    kept = {
        "stack": error.ask.stack.name,
        "breaches": [{"rule": rule, "unit": one.unit, "text": one.text} for rule, one in error.breaches],
        "ask": repr(error.ask),
        "build": error.build.model_dump(mode="json"),
    }
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", prefix="configurator-fault-", suffix=".json", delete=False
        ) as stream:
            json.dump(kept, stream, indent=2)
    except OSError:
        return None
    return stream.name

"""Output that is there whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from configurator.reading.files import bad_file


def check_target(path: Path) -> None:
    """Whether a file can be written there, told before the work is done."""
    try:
        if path.is_dir():
            raise bad_file(str(path), "the output is a folder", "name a file in it with --output")
        if not path.resolve().parent.is_dir():
            hint = "make the folder, or name another file with --output"
            raise bad_file(str(path), "the output's folder does not exist", hint)
    except (OSError, ValueError, RuntimeError) as error:  # ValueError: a NUL in the name; RuntimeError: a loop of links
        raise _unwritable(path, error) from None


def check_targets(*paths: Path | None) -> None:
    """Whether all of them can be written, none over another."""
    seen: set[Path] = set()
    for path in filter(None, paths):
        check_target(path)
        if path.resolve() in seen:
            raise bad_file(str(path), "two outputs go to this file", "name a file for each")
        seen.add(path.resolve())


def check_new(path: Path, *, overwrite: bool) -> None:
    """Whether a file can be written there without losing one, or may replace it."""
    check_target(path)
    if path.exists() and not overwrite:
        raise bad_file(str(path), "the file is there already", "name another file, or replace it with --overwrite")


def write_whole(path: Path, data: bytes) -> None:
    """The data in the file, or the file as it was: written beside it first, then renamed."""
    check_target(path)
    target = path.resolve()  # a link stays a link
    if target.exists() and not target.is_file():  # a device or a pipe can't be renamed over
        try:
            target.write_bytes(data)
        except OSError as error:
            raise _unwritable(path, error) from None
        return
    beside = target.with_name(f".{target.name[:100]}.{os.getpid()}.part")
    try:
        with beside.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            beside.chmod(target.stat().st_mode)
        beside.replace(target)
    except OSError as error:
        raise _unwritable(path, error) from None
    finally:
        beside.unlink(missing_ok=True)


def _unwritable(path: Path, error: Exception) -> Exception:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return bad_file(str(path), f"the output cannot be written: {reason}", "name another file with --output")

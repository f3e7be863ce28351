"""Text from files: bounded, UTF-8, and an honest word about everything that is not."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from configurator.errors import BadInput, Problem

STANDARD_INPUT = "standard input"

# Line breaks and forbidden characters as YAML 1.1 has them (sections 4.1 and 4.2).
LINE_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
_FORBIDDEN = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_ARCHIVE = b"PK\x03\x04"  # spreadsheets are ZIP archives


@dataclass(frozen=True)
class Source:
    """A file as it was read."""

    name: str
    text: str
    sha256: str  # of its bytes


def read_source(source: Path | str, limit: int, form: str) -> Source:
    """A file, or standard input for `-`; `form` is what it should be: YAML, CSV."""
    name = STANDARD_INPUT if str(source) == "-" else str(source)
    data = _read_bytes(name, source, limit)
    if len(data) > limit:
        size = f"the file is larger than {limit:,} bytes, the most that is read of a {form} file"
        raise bad_file(name, size, "split it into several files, or check that this is the file you meant")
    if not data.strip():
        raise BadInput([Problem(name, 1, 1, "", None, "the file is empty", f"fill it with {form}, or name another")])
    if data.startswith(_ARCHIVE):
        raise _not_text(name, data, 0, form, f"a spreadsheet or an archive is not read: save it as {form}")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        text = f"byte 0x{data[error.start]:02x} is not UTF-8"
        hint = "save the file as UTF-8"
        raise BadInput([_at_byte(name, data, error.start, f"0x{data[error.start]:02x}", text, hint)]) from None
    found = _FORBIDDEN.search(text)
    if found:
        offset = len(text[: found.start()].encode()) + (3 if data.startswith(b"\xef\xbb\xbf") else 0)
        raise _not_text(name, data, offset, form, f"this is no text file; save it as {form} in UTF-8")
    return Source(name, text, sha256(data).hexdigest())


def bad_file(name: str, text: str, hint: str) -> BadInput:
    """A problem with a file as a whole."""
    return BadInput([Problem(name, None, None, "", None, text, hint)])


def _read_bytes(name: str, source: Path | str, limit: int) -> bytes:
    if str(source) == "-":
        if sys.stdin is None:  # closed before the start: `<&-`
            raise bad_file(name, "standard input is closed", "pipe the demand in, or name its file")
        return _bounded(sys.stdin.buffer, limit)
    path = Path(source)
    try:
        if path.is_dir():
            raise bad_file(name, "this is a folder; a file is expected", "name a file in it")
        with path.open("rb") as stream:
            return _bounded(stream, limit)
    except FileNotFoundError:
        raise bad_file(name, "there is no such file", _neighbour(path)) from None
    except PermissionError:
        raise bad_file(name, "the file may not be read", "ask for permission to read it, or copy it") from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise bad_file(name, f"the file cannot be read: {reason}", "check the name, or copy the file") from None


def _bounded(stream: BinaryIO, limit: int) -> bytes:
    """At most one byte more than the limit, so that a device file can't fill the memory."""
    chunks: list[bytes] = []
    left = limit + 1
    while left > 0 and (chunk := stream.read(left)):
        chunks.append(chunk)
        left -= len(chunk)
    return b"".join(chunks)


def _neighbour(path: Path) -> str:
    """A file beside it with nearly this name."""
    try:
        names = [other.name for other in path.parent.iterdir() if other.is_file()]
    except OSError:
        return f'there is no folder "{path.parent}" either; check the whole name'
    close = get_close_matches(path.name, names, n=1)
    return f'did you mean "{path.parent / close[0]}"?' if close else "check the name and the folder"


def _not_text(name: str, data: bytes, offset: int, form: str, hint: str) -> BadInput:
    value = f"0x{data[offset]:02x}"
    text = f"byte {value} has no place in a {form} file; this looks like binary data"
    return BadInput([_at_byte(name, data, offset, value, text, hint)])


def _at_byte(name: str, data: bytes, offset: int, value: str, text: str, hint: str) -> Problem:
    lines = LINE_BREAK.split(data[:offset].decode("utf-8-sig", "replace"))
    rest = LINE_BREAK.split(data[offset : offset + 100].decode("utf-8", "replace"))[0]
    return Problem(name, len(lines), len(lines[-1]) + 1, "", value, text, hint, lines[-1] + rest)

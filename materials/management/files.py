"""The files of a command: read as text, refused in a sentence, written all or none."""

from __future__ import annotations

import errno
import os
import sys
import tempfile
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import NoReturn

from django.utils.translation import gettext as _

from materials.core.errors import OutOfRange, Refusal

LARGEST_FILE = 8_000_000
"""Bytes; a visit of a hundred rooms has a tenth of it."""
WRONG_INPUT = 2
"""What a command ends with when its input cannot be used."""


def refuse(refusal: Refusal) -> NoReturn:
    """End with one sentence on standard error, its key before it; nothing was written.

    Raises: SystemExit with WRONG_INPUT.
    """
    key = f"{refusal.field}: " if refusal.field else ""
    sentence = f"{key}{refusal.sentence}".replace("\n", " ").strip()
    sys.stderr.write(f"{sentence}\n")
    raise SystemExit(WRONG_INPUT)


def read_text(file: str) -> str:
    """Return the text of a file, or of standard input for `-`.

    Raises: Refusal for a file that cannot be read, is too large or is not UTF-8.
    """
    try:
        raw = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except OSError as error:
        raise Refusal(
            _("%(file)s cannot be read: %(why)s.")
            % {"file": file, "why": error.strerror}
        ) from None
    if len(raw) > LARGEST_FILE:
        raise OutOfRange(
            _("%(file)s is larger than %(most)s MB; split the job.")
            % {"file": file, "most": LARGEST_FILE // 1_000_000}
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refusal(
            _("%(file)s is not UTF-8 text; save it as JSON in UTF-8.") % {"file": file}
        ) from None


def write_together(outputs: Mapping[str, bytes]) -> None:
    """Write files by path, every one or none: each is written aside, then put in place.

    A path that is no plain file, such as /dev/stdout, is written to last.

    Raises: Refusal naming the path that cannot be written; what stood there stays.
    """
    aside: dict[str, str] = {}
    try:
        for path, content in outputs.items():
            if _is_replaceable(path):
                aside[path] = _written_aside(Path(path), content)
            else:
                _named(path, partial(_check_writable, Path(path)))
        for path in tuple(aside):
            _named(path, partial(os.replace, aside[path], path))
            del aside[path]
    finally:
        for left in aside.values():
            Path(left).unlink(missing_ok=True)
    for path, content in outputs.items():
        if not _is_replaceable(path):
            _named(path, partial(Path(path).write_bytes, content))


def _is_replaceable(path: str) -> bool:
    """Return whether a plain file or nothing stands there, and no link."""
    place = Path(path)
    return not place.is_symlink() and (place.is_file() or not place.exists())


def _written_aside(path: Path, content: bytes) -> str:
    """Return the place of the content beside its path, with the rights it will need."""

    def write() -> str:
        if path.exists():
            _check_writable(path)
        handle, name = tempfile.mkstemp(dir=path.resolve().parent, prefix=".part-")
        with os.fdopen(handle, "wb") as part:
            part.write(content)
        os.chmod(name, path.stat().st_mode & 0o777 if path.exists() else _usual_mode())
        return name

    return str(_named(str(path), write))


def _check_writable(path: Path) -> None:
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def _usual_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _named(path: str, work: Callable[[], object]) -> object:
    """Return what the work gives; what fails is said with the path."""
    try:
        return work()
    except OSError as error:
        raise Refusal(
            _("%(file)s cannot be written: %(why)s.")
            % {"file": path, "why": error.strerror}
        ) from None

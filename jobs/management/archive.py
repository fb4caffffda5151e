"""A backup's one file: a line that names the format, a zip, a digest of all of it.

The zip holds `manifest.json`, the database and the kept files. The closing digest
covers every byte before it, so that any change, be it in a place a zip does not check,
refuses the whole file.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import re
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import IO, Any

from django.core.management.base import CommandError

MAGIC = b"GAUGEROD BACKUP 1\n"
TRAILER = 65
PIECE = 1 << 20
MANIFEST, DATABASE = "manifest.json", "database"
NAMES = re.compile(r"manifest\.json|database|kept/[0-9a-f]{2}/[0-9a-f]{64}")


class _Digesting(io.RawIOBase):
    """A stream that adds up the digest of what is written through it."""

    def __init__(self, out: IO[bytes]) -> None:
        super().__init__()
        self.out, self.digest = out, hashlib.sha256()

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        self.digest.update(data)
        self.out.write(data)
        return len(data)


def write_archive(
    out: Path,
    *,
    facts: Mapping[str, Any],
    database: Path,
    kept: Iterable[tuple[str, Path]],
) -> str:
    """Write a backup; return its closing digest. The file appears whole or not at all.

    The manifest gets size and SHA-256 of every part; it is written last.
    """
    files: dict[str, list[object]] = {}
    part = out.with_name(f"{out.name}.part")
    part.parent.mkdir(parents=True, exist_ok=True)
    with part.open("wb") as handle:
        stream = _Digesting(handle)
        stream.write(MAGIC)
        with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
            for name, place in ((DATABASE, database), *kept):
                files[name] = _add(packed, name, place)
            packed.writestr(
                MANIFEST, json.dumps({**facts, "files": files}, indent=1, default=str)
            )
        digest = stream.digest.hexdigest()
        handle.write(f"{digest}\n".encode())
        handle.flush()
        os.fsync(handle.fileno())
    os.replace(part, out)
    return digest


def _add(packed: zipfile.ZipFile, name: str, place: Path) -> list[object]:
    digest, size = hashlib.sha256(), 0
    method = zipfile.ZIP_DEFLATED if name == DATABASE else zipfile.ZIP_STORED
    info = zipfile.ZipInfo(name)
    info.compress_type = method
    with place.open("rb") as source, packed.open(info, "w", force_zip64=True) as sink:
        while piece := source.read(PIECE):
            digest.update(piece)
            sink.write(piece)
            size += len(piece)
    return [size, digest.hexdigest()]


def check_digest(place: Path) -> str:
    """Return the closing digest of a backup whose bytes are all as written.

    Raises: CommandError for a file that is none, is cut short, or was changed.
    """
    try:
        size = place.stat().st_size
    except OSError as error:
        raise CommandError(f"{place} cannot be read: {error.strerror}.") from error
    whole = hashlib.sha256()
    left = size - TRAILER
    with place.open("rb") as handle:
        if left < len(MAGIC) or handle.read(len(MAGIC)) != MAGIC:
            raise CommandError(
                f"{place} is no backup of this program, or is cut short."
            )
        whole.update(MAGIC)
        left -= len(MAGIC)
        while left > 0 and (piece := handle.read(min(PIECE, left))):
            whole.update(piece)
            left -= len(piece)
        said = handle.read()
    if said != f"{whole.hexdigest()}\n".encode():
        raise CommandError(
            f"{place} is damaged: its bytes do not match its digest. Use another copy."
        )
    return whole.hexdigest()


def unpack(place: Path, into: Path) -> dict[str, Any]:
    """Check a backup, unpack it into an empty folder, return its manifest.

    Raises: CommandError for a damaged file, or a part that is not as listed.
    """
    check_digest(place)
    with zipfile.ZipFile(place) as packed:
        names = packed.namelist()
        strange = [name for name in names if NAMES.fullmatch(name) is None]
        if strange:
            raise CommandError(f"{place} holds “{strange[0][:60]}”, which is no part.")
        packed.extractall(into)
    manifest: dict[str, Any] = json.loads((into / MANIFEST).read_text("utf-8"))
    listed = manifest["files"]
    if sorted([*listed, MANIFEST]) != sorted(names):
        raise CommandError(f"{place} does not hold the parts that it lists.")
    for name, (size, digest) in listed.items():
        data = into / name
        whole = hashlib.sha256()
        with data.open("rb") as handle:
            while piece := handle.read(PIECE):
                whole.update(piece)
        if (data.stat().st_size, whole.hexdigest()) != (size, digest):
            raise CommandError(f"{place}: {name} is not as it was packed.")
    return manifest

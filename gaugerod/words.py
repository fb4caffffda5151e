"""Compile the message catalogues, so that gettext's own tools need not be there."""

from __future__ import annotations

from pathlib import Path

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

LOCALE_DIR = Path(__file__).resolve().parent / "locale"


def compile_catalogues() -> list[Path]:
    """Write the .mo file beside each .po file that is newer; return what was made."""
    made = []
    for source in sorted(LOCALE_DIR.glob("*/LC_MESSAGES/*.po")):
        target = source.with_suffix(".mo")
        if target.exists() and target.stat().st_mtime >= source.stat().st_mtime:
            continue
        with source.open("rb") as text:
            catalogue = read_po(text, locale=source.parts[-3])
        with target.open("wb") as binary:
            write_mo(binary, catalogue)
        made.append(target)
    return made

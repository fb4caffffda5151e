"""Copy the faces of the look out of their packages, cut down to Latin, as woff2.

The faces are never kept in the repository: they come with the packages, in fixed
versions, and are made once into an ignored folder. Pages and PDFs use the same files.
"""

from __future__ import annotations

import json
from contextlib import closing
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from importlib.resources import as_file, files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from fontTools import subset

STAMP = "made-from.json"
RECIPE = 4
"""Raised when what is cut changes, so that old files are made again."""

PRIMES = frozenset({0x2032, 0x2033})
RAISED = frozenset({0x2070, 0xB9, 0xB2, 0xB3, *range(0x2074, 0x207A)})
LOWERED = frozenset(range(0x2080, 0x208A))
LATIN = frozenset(
    {
        *range(0x20, 0x180),
        *range(0x2000, 0x2070),
        *range(0x20A0, 0x20C0),
        *range(0x2150, 0x215F),
        *(0x2044, 0x2190, 0x2191, 0x2192, 0x2193, 0x2212, 0x221A, 0x2248, 0x2260),
        *(0x2264, 0x2265, 0x2713),
    }
)
MARKS = PRIMES | RAISED | LOWERED | {
    *range(0x2190, 0x2194),
    *(0x2044, 0x2153, 0x2154, 0x2713, 0x221A, 0x2211, 0x25B3, 0x25BD),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One weight of one family, and the package it comes in."""

    name: str
    package: str
    module: str
    file: str
    letters: frozenset[int]


def _faces() -> tuple[Face, ...]:
    """Return the eleven faces.

    The lettering faces leave the primes out (the single one is twice as wide as the
    double) and the small figures for sixteenths; a second family brings both.
    """
    lettering = LATIN - PRIMES - RAISED - LOWERED
    rows = [
        ("barlow-400", "fontpkg-barlow", "Barlow-Regular.ttf", lettering),
        ("barlow-500", "fontpkg-barlow", "Barlow-Medium.ttf", lettering),
        ("barlow-600", "fontpkg-barlow", "Barlow-SemiBold.ttf", lettering),
        *(
            (
                f"barlow-semi-{weight}",
                "fontpkg-barlow-semi-condensed",
                f"BarlowSemiCondensed-{word}.ttf",
                lettering,
            )
            for weight, word in ((400, "Regular"), (500, "Medium"), (600, "SemiBold"))
        ),
        ("serif-400", "font-source-serif-pro", "SourceSerifPro-Regular.ttf", LATIN),
        ("serif-400-italic", "font-source-serif-pro", "SourceSerifPro-It.ttf", LATIN),
        ("serif-600", "font-source-serif-pro", "SourceSerifPro-Semibold.ttf", LATIN),
        ("marks-400", "font-source-sans-pro", "SourceSansPro-Regular.ttf", MARKS),
        ("marks-600", "font-source-sans-pro", "SourceSansPro-Semibold.ttf", MARKS),
    ]
    return tuple(
        Face(
            name=name,
            package=package,
            module=package.replace("-", "_"),
            file=file,
            letters=frozenset(letters),
        )
        for name, package, file, letters in rows
    )


FACES = _faces()


class Command(BaseCommand):
    """Make the fonts, when they are not already made from the same packages."""

    help = "Make the web fonts from their packages into static/fonts."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Let another folder be named, for tests."""
        parser.add_argument("--to", type=Path, default=None)

    def handle(self, *args: Any, **options: Any) -> None:
        """Make what is missing and say so; say nothing when all is there."""
        folder = options["to"] or Path(settings.BASE_DIR) / "static" / "fonts"
        made = prepare_fonts(folder)
        if made and options["verbosity"]:
            self.stdout.write(f"Made {made} font files.")


def prepare_fonts(folder: Path) -> int:
    """Make the fonts in a folder unless they are up to date; return how many.

    Raises: CommandError with a sentence when a package or a face is missing.
    """
    stamp = folder / STAMP
    wanted = {"recipe": RECIPE, "packages": _versions()}
    fresh = _read(stamp) == wanted
    due = [
        face
        for face in FACES
        if not (fresh and (folder / f"{face.name}.woff2").exists())
    ]
    if not due:
        return 0
    folder.mkdir(parents=True, exist_ok=True)
    stamp.unlink(missing_ok=True)
    for face in due:
        _cut(face, folder)
    for module in sorted({face.module for face in FACES}):
        _copy_licence(module, folder)
    stamp.write_text(json.dumps(wanted, indent=1), encoding="utf-8")
    return len(due)


def _read(stamp: Path) -> object:
    try:
        return json.loads(stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None


def _versions() -> dict[str, str]:
    packages = sorted({face.package for face in FACES} | {"fonttools"})
    try:
        return {package: version(package) for package in packages}
    except PackageNotFoundError as error:
        raise CommandError(
            f"The package {error.name} with a typeface is not installed; "
            "run make set-up, or install the packages of requirements.txt."
        ) from error


def _cut(face: Face, folder: Path) -> None:
    if find_spec(face.module) is None:
        raise CommandError(
            f"The package {face.package} is installed but cannot be opened; "
            "install the packages of requirements.txt again."
        )
    source = files(face.module) / "files" / face.file
    if not source.is_file():
        raise CommandError(
            f"{face.package} holds no {face.file}; install the version that "
            "requirements.txt names."
        )
    options = subset.Options(
        flavor="woff2", layout_features=["*"], notdef_outline=True, hinting=True
    )
    with as_file(source) as path, closing(subset.load_font(path, options)) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=face.letters)
        cutter.subset(font)
        whole = folder / f"{face.name}.part"
        subset.save_font(font, whole, options)
        whole.replace(folder / f"{face.name}.woff2")


def _copy_licence(module: str, folder: Path) -> None:
    """Keep the licence of a face beside it, as the licence asks."""
    package = files(module)
    for place in (package / "LICENSE", package / "files" / "LICENSE.txt"):
        if place.is_file():
            target = folder / f"{module.replace('_', '-')}-licence.txt"
            target.write_bytes(place.read_bytes())
            return

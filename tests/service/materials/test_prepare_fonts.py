"""The fonts are made once from their packages, and say what is missing."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from fontTools.ttLib import TTFont

from materials.management.commands import prepare_fonts as command
from materials.management.commands.prepare_fonts import FACES, STAMP, prepare_fonts

FRACTIONS = "½¼¾⅛⅜⅝⅞⁄"
MARKS = "′″₁₆⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉"


@pytest.fixture(scope="module")
def fonts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the fonts made."""
    folder = tmp_path_factory.mktemp("fonts")
    assert prepare_fonts(folder) == len(FACES)
    return folder


def letters_of(folder: Path, name: str) -> set[int]:
    """Return the letters a made font has."""
    with TTFont(folder / f"{name}.woff2") as font:
        return set(font.getBestCmap())


def test_a_second_run_makes_nothing(fonts: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in fonts.iterdir()}

    assert prepare_fonts(fonts) == 0
    assert {path: path.stat().st_mtime_ns for path in fonts.iterdir()} == before


def test_a_missing_file_is_made_again(fonts: Path) -> None:
    (fonts / "marks-400.woff2").unlink()

    assert prepare_fonts(fonts) == 1
    assert (fonts / "marks-400.woff2").exists()


def test_another_recipe_makes_them_again(fonts: Path) -> None:
    (fonts / STAMP).write_text("{", encoding="utf-8")

    assert prepare_fonts(fonts) == len(FACES)


def test_lettering_has_every_fraction_and_leaves_the_primes_to_the_marks(
    fonts: Path,
) -> None:
    for name in ("barlow-400", "barlow-semi-500"):
        found = letters_of(fonts, name)
        assert {ord(letter) for letter in FRACTIONS} <= found
        assert not {0x2032, 0x2033} & found
    assert {ord(letter) for letter in MARKS} <= letters_of(fonts, "marks-400")


def test_fonts_come_with_their_licences(fonts: Path) -> None:
    packages = {face.package for face in FACES}

    assert {path.name for path in fonts.glob("*-licence.txt")} == {
        f"{package}-licence.txt" for package in packages
    }


def test_a_missing_package_is_named_with_what_to_do(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    lost = FACES[0].__class__(
        name="x", package="no-such-face", module="no_such_face", file="x",
        letters=frozenset(),
    )  # fmt: skip
    monkeypatch.setattr(command, "FACES", (lost,))

    with pytest.raises(CommandError, match=r"no-such-face.*requirements\.txt"):
        call_command("prepare_fonts", to=tmp_path)

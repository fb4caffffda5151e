"""The files of a command: all written or none, and what stood there kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from materials.core.errors import Refusal
from materials.management.files import LARGEST_FILE, read_text, write_together


def test_both_are_written_with_the_usual_rights(tmp_path: Path) -> None:
    first, second = tmp_path / "a.json", tmp_path / "a.svg"
    first.write_bytes(b"old")
    first.chmod(0o600)
    plain = tmp_path / "plain"
    plain.touch()

    write_together({str(first): b"new", str(second): b"<svg/>"})

    assert (first.read_bytes(), second.read_bytes()) == (b"new", b"<svg/>")
    assert first.stat().st_mode & 0o777 == 0o600
    assert second.stat().st_mode == plain.stat().st_mode


@pytest.mark.parametrize("wrong", ["nowhere/a.svg", ".", "old.json/a.svg"])
def test_one_that_cannot_be_written_leaves_the_others_as_they_were(
    tmp_path: Path, wrong: str
) -> None:
    kept, fresh = tmp_path / "old.json", tmp_path / "fresh.json"
    kept.write_bytes(b"old")
    before = sorted(tmp_path.iterdir())

    with pytest.raises(Refusal, match="cannot be written") as refused:
        write_together(
            {str(kept): b"new", str(fresh): b"{}", str(tmp_path / wrong): b"x"}
        )

    assert wrong in refused.value.sentence or wrong == "."
    assert sorted(tmp_path.iterdir()) == before
    assert kept.read_bytes() == b"old"


def test_what_is_no_file_is_written_to(capfd: pytest.CaptureFixture[str]) -> None:
    write_together({"/dev/stdout": b"plain"})

    assert capfd.readouterr().out == "plain"


def test_a_file_too_large_or_not_text_is_refused(tmp_path: Path) -> None:
    large, other = tmp_path / "large.json", tmp_path / "other.json"
    large.write_bytes(b" " * (LARGEST_FILE + 1))
    other.write_bytes(b"\xff\xfe\x00")

    with pytest.raises(Refusal, match="larger than 8 MB"):
        read_text(str(large))
    with pytest.raises(Refusal, match="not UTF-8"):
        read_text(str(other))

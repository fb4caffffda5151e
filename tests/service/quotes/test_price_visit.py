"""The command that prices a visit file, run as a user runs it."""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from quotes.core import document
from tests import builders

ROOT = Path(__file__).parents[3]
DEMO = sorted((ROOT / "quotes" / "demo").glob("*visit*.json"))
ON = "2026-07-01"


def _run(
    *words: str, folder: Path, seed: str = "0", given: str = ""
) -> subprocess.CompletedProcess[str]:
    """Run the command in its own process, with no database to be found."""
    environment = {
        **os.environ,
        "PYTHONHASHSEED": seed,
        "DATABASE_URL": f"sqlite:///{folder / 'nowhere' / 'none.sqlite3'}",
        "GAUGEROD_VAR": str(folder),
    }
    return subprocess.run(
        [sys.executable, "manage.py", "price_visit", *words],
        cwd=ROOT,
        env=environment,
        input=given,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_the_demo_has_a_shower_a_hall_and_a_kitchen() -> None:
    names = {path.stem for path in DEMO}

    assert names >= {"hall-visit", "kitchen-visit", "shower-visit"}


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_a_demo_visit_is_priced_without_a_database(path: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.json"

    done = _run(str(path), "--on", ON, "--json", str(out), folder=tmp_path)

    assert (done.returncode, done.stderr) == (0, "")
    plain = json.loads(out.read_text("utf-8"))
    quote = document.from_json(plain["quote"])
    assert plain["digest"] == document.digest(quote)
    totals = quote.option().totals
    assert totals.gross.amount > 0
    assert f"{totals.gross.amount}" in done.stdout
    assert "Whole packs, cheapest mix" in done.stdout


def test_equal_input_gives_byte_equal_json_in_two_processes(tmp_path: Path) -> None:
    shower = str(DEMO[-1])
    outs = [tmp_path / "one.json", tmp_path / "two.json"]

    for out, seed in zip(outs, ("1", "4711"), strict=True):
        done = _run(shower, "--on", ON, "--json", str(out), folder=tmp_path, seed=seed)
        assert done.returncode == 0, done.stderr

    assert outs[0].read_bytes() == outs[1].read_bytes()
    assert len(outs[0].read_bytes()) > 10_000


def test_a_dash_prints_json_alone_and_reads_the_file_from_the_input(
    tmp_path: Path,
) -> None:
    given = json.dumps(builders.a_hall())

    done = _run("-", "--on", ON, "--json", "-", folder=tmp_path, given=given)

    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["visit"] == "visit-quay-hall"


def test_the_demo_s_figures_change_when_one_price_changes(tmp_path: Path) -> None:
    file = json.loads(DEMO[-1].read_text("utf-8"))
    before = _gross(file, tmp_path)
    tile = next(m for m in file["price_list"]["materials"] if m["kind"] == "foam_pan")
    tile["packs"][0]["prices"][0]["amount"] = "206.00"

    after = _gross(file, tmp_path)

    assert after > before


def _gross(file: dict[str, Any], folder: Path) -> Fraction:
    done = _run("-", "--on", ON, "--json", "-", folder=folder, given=json.dumps(file))
    assert done.returncode == 0, done.stderr
    totals = json.loads(done.stdout)["quote"]["options"][0]["totals"]
    return Fraction(totals["gross"]["amount"])


def _without_prices(file: dict[str, Any]) -> None:
    file["price_list"] = "stored"


def _without_rates(file: dict[str, Any]) -> None:
    file["rates"] = "stored"


def _late(file: dict[str, Any]) -> None:
    for material in file["price_list"]["materials"]:
        for pack in material["packs"]:
            pack["prices"][0]["valid_from"] = "2027-01-01"


def _unknown_product(file: dict[str, Any]) -> None:
    file["build_ups"]["hall_floor"]["layers"][3]["material"] = "NOPE-1"


def _unknown_field(file: dict[str, Any]) -> None:
    file["spaces"][0]["surfaces"][0]["colour"] = "blue"


def _absurd(file: dict[str, Any]) -> None:
    file["spaces"][0]["surfaces"][0]["shape"]["width"] = "900 ft"


def _crossing(file: dict[str, Any]) -> None:
    file["spaces"][0]["surfaces"][0]["shape"] = {
        "kind": "polygon",
        "points": [["0", "0"], ["1000", "1000"], ["1000", "0"], ["0", "900"]],
    }
    file["spaces"][0]["surfaces"][0].pop("edges")
    file["spaces"][0]["surfaces"][0].pop("heights")


def _other_digits(file: dict[str, Any]) -> None:
    file["spaces"][0]["surfaces"][0]["shape"]["width"] = "٤٨٦٠"


def _forty_digits(file: dict[str, Any]) -> None:
    file["rates"]["setter_wage"] = "4" * 40


def _euro(file: dict[str, Any]) -> None:
    file["price_list"]["currency"] = "EUR"


def _margin(file: dict[str, Any]) -> None:
    file["rates"].update(method="margin", labour_rate="100 %")


def _odd_overrule(file: dict[str, Any]) -> None:
    file["overrules"] = [
        {"line": "material:GR-5", "what": "packs", "value": "a few", "reason": "x"}
    ]


def _call(
    file: Any, folder: Path, capsys: pytest.CaptureFixture[str], *words: str
) -> tuple[int, str, str]:
    """Return exit code, standard error and output of a call in this process."""
    given = folder / "given-visit.json"
    given.write_text(file if isinstance(file, str) else json.dumps(file), "utf-8")
    with pytest.raises(SystemExit) as ended:
        call_command("price_visit", str(given), *words)
    caught = capsys.readouterr()
    return int(ended.value.code or 0), caught.err, caught.out


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("spoil", "path"),
    [
        (_without_prices, "price_list"),
        (_without_rates, "rates"),
        (_late, "2026-07-01"),
        (_unknown_product, "build_ups.hall_floor.layers[3].material"),
        (_unknown_field, "spaces[0].surfaces[0].colour"),
        (_absurd, "spaces[0].surfaces[0].shape.width"),
        (_crossing, "spaces[0].surfaces[0]"),
        (_other_digits, "spaces[0].surfaces[0].shape.width"),
        (_forty_digits, "rates.setter_wage"),
        (_euro, "price_list.currency"),
        (_margin, "rates"),
        (_odd_overrule, "overrules[0].value"),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_bad_input_ends_in_one_sentence_with_its_path_and_no_file(
    spoil: Any, path: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = copy.deepcopy(builders.a_hall())
    spoil(file)
    out, paper = tmp_path / "out.json", tmp_path / "out.pdf"

    code, said, printed = _call(
        file, tmp_path, capsys, "--on", ON, "--json", str(out), "--pdf", str(paper)
    )

    assert (code, printed) == (2, "")
    assert path in said
    assert said.count("\n") == 1
    assert not out.exists()
    assert not paper.exists()


@pytest.mark.parametrize(
    ("words", "given", "said"),
    [
        ((), "{", "JSON"),
        ((), '{"format": NaN}', "NaN"),
        ((), '{"format": "x"}', "format"),
        (("--on", "31 March"), builders.a_hall(), "--on"),
        (("--on", "20260331"), builders.a_hall(), "--on"),
    ],
    ids=["no json", "nan", "other format", "no date", "short date"],
)
def test_what_is_no_visit_file_is_refused(
    words: tuple[str, ...],
    given: Any,
    said: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, words_said, _ = _call(given, tmp_path, capsys, *words)

    assert code == 2
    assert said in words_said
    assert words_said.count("\n") == 1


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    done = _run("nowhere.json", folder=tmp_path)

    assert done.returncode == 2
    assert done.stderr.startswith("nowhere.json cannot be read")
    assert "Traceback" not in done.stderr


def test_without_a_database_the_stored_prices_are_asked_for_in_a_sentence(
    tmp_path: Path,
) -> None:
    given = json.dumps(builders.a_hall(price_list="stored"))

    done = _run("-", "--on", ON, folder=tmp_path, given=given)

    assert done.returncode == 2
    assert done.stderr.startswith("price_list: ")
    assert done.stderr.count("\n") == 1


def test_the_paper_says_the_same_price_as_the_json(tmp_path: Path) -> None:
    out, paper = tmp_path / "out.json", tmp_path / "out.pdf"

    done = _run(
        str(DEMO[-1]), "--on", ON, "--json", str(out), "--pdf", str(paper),
        folder=tmp_path,
    )  # fmt: skip

    assert (done.returncode, done.stderr) == (0, "")
    from pypdf import PdfReader

    text = "".join(page.extract_text() for page in PdfReader(paper).pages)
    totals = json.loads(out.read_text("utf-8"))["quote"]["options"][0]["totals"]
    whole, cents = totals["gross"]["amount"].split(".")
    assert f"{int(whole):,}.{cents}" in text
    for secret in (totals["cost"]["amount"], totals["profit"]["amount"]):
        assert secret not in text

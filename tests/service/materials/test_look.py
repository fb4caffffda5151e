"""The parts of the look, rendered."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest
from django import forms
from django.template import engines
from django.test import Client
from django.utils import translation
from moneyed import Money

from materials import presenters
from materials.core.areas import Area
from materials.core.drawing.marks import MARKS
from materials.core.lengths import FOOT, Length
from materials.core.need import Step
from materials.core.sources import Source
from materials.forms.values import LengthInput
from materials.models import Business
from materials.presenters import percent_words
from materials.templatetags.look import money_words
from materials.templatetags.states import state_word
from tests.source_files import ROOT

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.filterwarnings("ignore:No directory at"),
]


def rendered(text: str, **context: Any) -> str:
    """Return a piece of template as it stands on a page, without its line breaks."""
    business = Business(name="Tiles & Sons", currency="GBP", system="imperial")
    template = engines["django"].from_string("{% load look %}" + text)
    return re.sub(
        r">\s+<", "><", template.render({"business": business, **context})
    ).strip()


def test_a_length_is_lettered_in_the_system_of_the_business() -> None:
    found = rendered("{% length value %}", value=Length.inch("11 11/16"))

    assert found == ('<span class="len">11<span class="fr">11⁄16</span>″</span>')


def test_a_length_may_be_lettered_in_the_other_system() -> None:
    found = rendered('{% length value "metric" %}', value=Length.mm("1917.5"))

    assert found == '<span class="len">1917.5\u00a0mm</span>'


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en-gb", "VAT 20\u00a0% × 1,166.83 of 1917 mm in 2026"),
        ("en-us", "VAT 20% × 1,166.83 of 1917 mm in 2026"),
    ],
)
def test_a_sentence_of_the_core_is_set_as_the_page_is(language: str, said: str) -> None:
    with translation.override(language):
        found = rendered(
            "{{ said|lettered }}", said="VAT 20 % × 1166.83 of 1917 mm in 2026"
        )

    assert found == said


def test_what_a_person_typed_stays_escaped_when_it_is_lettered() -> None:
    found = rendered("{{ said|lettered }}", said='<b>3 1/16"</b> 1/2″')

    assert found == "&lt;b&gt;3 1/16&quot;&lt;/b&gt; ½″"


@pytest.mark.parametrize(
    ("language", "share"), [("en-gb", "7.25\u00a0%"), ("en-us", "7.25%")]
)
def test_money_and_shares_in_a_sentence_are_written_as_the_language_does(
    language: str, share: str
) -> None:
    with translation.override(language):
        assert percent_words(Fraction("0.0725")) == share
        assert presenters.money_words(Money("-6563.77", "USD")) == "−6,563.77"
        assert presenters.money_words(Money("1234", "JPY")) == "1,234"


def test_no_length_is_a_dash() -> None:
    assert (
        rendered("{% length value %}{% area value %}{% money value %}", value=None)
        == "–––"
    )


def test_an_area_has_its_unit() -> None:
    value = Area(10 * FOOT * FOOT)

    assert rendered("{% area value %}", value=value) == (
        '<span class="len">10.0 sq ft</span>'
    )


@pytest.mark.parametrize(
    ("amount", "code", "sign", "whole", "wanted"),
    [
        ("1234.5", "GBP", False, False, "1,234.50"),
        ("1234.5", "GBP", True, False, "£1,234.50"),
        ("-99.13", "USD", False, False, "−99.13"),
        ("0.0825", "GBP", False, False, "0.0825"),
        ("1234", "JPY", True, False, "JPY\u00a01,234"),
        ("2.5", "GBP", False, True, "3"),
        ("-2.5", "GBP", False, True, "−3"),
    ],
)
def test_money_is_lettered_with_the_decimals_of_its_currency(
    amount: str, code: str, sign: bool, whole: bool, wanted: str
) -> None:
    found = money_words(Money(amount, code), sign, whole)

    assert found == f'<span class="money">{wanted}</span>'


WARNED = ("overdue", "unknown", "failed")
"""States that a person must look into."""


def test_every_state_has_a_mark_and_its_word() -> None:
    for kind, states in MARKS.items():
        for value in states:
            found = rendered("{% state kind value %}", kind=kind, value=value)
            assert found.endswith(f"</svg>{state_word(kind, value)}</span>")
            assert ('class="state warn"' in found) == (value in WARNED)


def test_a_line_leads_to_its_figure_and_opens_when_it_has_a_working() -> None:
    step = Step(
        label="In the floor",
        formula="2 ÷ 3",
        result="66.7 %",
        source=Source(title="Sheet", edition="2020", place="p. 3"),
    )
    plain = rendered('{% line "Cost" value %}', value=Money("5", "GBP"))
    opening = rendered('{% line "Cost" value steps %}', value="5", steps=[step])

    assert "<details>" not in plain
    assert '<span class="v"><span class="money">5.00</span></span>' in plain
    assert "<details><summary>" in opening
    assert "In the floor: 2 ÷ 3" in opening
    assert "<small>Sheet, 2020, p. 3</small>" in opening


def test_a_figure_names_what_it_opens() -> None:
    found = rendered('{% figure value "w-1" %}', value=Money("5", "GBP"))

    assert 'aria-expanded="false" aria-controls="w-1"' in found


def test_user_text_cannot_break_out_of_any_part() -> None:
    bad = "<script>alert(1)</script>"
    texts = (
        "{% line bad bad %}",
        "{% total bad bad %}",
        "{% strip_cell bad bad %}",
        '{% figure bad "x" %}',
        "{% notice 1 %}{{ bad }}{% endnotice %}",
        "{% caution word=bad %}{{ bad }}{% endcaution %}",
        '{% state "quote" "offered" bad %}',
        '{% key "cut" bad %}',
        "{% tape stages %}",
        "{% actions acts %}",
        "{% working steps %}",
    )
    for text in texts:
        found = rendered(
            text,
            bad=bad,
            stages=[{"word": bad, "url": f'"{bad}', "now": False}],
            acts=[{"word": bad, "url": f'"{bad}'}],
            steps=[Step(label=bad, formula=bad, result=bad)],
        )
        assert "<script" not in found, text
        assert "&lt;script" in found, text


def test_a_caution_has_triangle_word_and_sentence() -> None:
    found = rendered("{% caution %}Cut wet.{% endcaution %}")

    assert found.startswith('<div class="caution" role="note"><svg')
    assert "<p><b>Caution.</b> Cut wet.</p>" in found


def test_the_tape_is_pulled_out_to_the_present_stage() -> None:
    stages = [
        {"word": w, "url": "/x", "now": w == "Needs"}
        for w in ("Takeoff", "Needs", "Job")
    ]
    found = rendered("{% tape stages %}", stages=stages)

    assert '<li class="done"><a href="/x">Takeoff</a></li>' in found
    assert '<li aria-current="step"><b>Needs</b></li>' in found
    assert '<li><a href="/x">Job</a></li>' in found


def test_an_action_that_changes_something_is_a_form_with_its_token() -> None:
    acts = [
        {"word": "Offer", "post": "/offer", "main": True},
        {"word": "Save", "form": "visit"},
        {"word": "Close", "url": "/c", "why_not": "An invoice is open."},
    ]
    found = rendered("{% actions acts %}", acts=acts, csrf_token="abc")

    assert '<form method="post" action="/offer" class="main">' in found
    assert 'value="abc"' in found
    assert 'type="submit" form="visit"' in found
    assert 'disabled title="An invoice is open."' in found


class Form(forms.Form):
    """One field of each look."""

    width = LengthInput(label="Width", help_text="at the floor")
    note = forms.CharField(label="Note", required=False)
    drain = forms.ChoiceField(
        label="Drain", choices=[("p", "point")], widget=forms.RadioSelect
    )
    agreed = forms.BooleanField(label="Agreed")


def test_a_length_stands_on_a_dimension_line_and_its_refusal_under_it() -> None:
    form = Form({"width": "5 0 4/0"})
    form.is_valid()
    found = rendered("{% field form.width %}", form=form)

    assert (
        '<span class="online"><input type="text" name="width" value="5 0 4/0"' in found
    )
    assert "data-bad" in found
    assert 'aria-invalid="true"' in found
    assert 'id="id_width_error"' in found
    assert "divides by zero" in found


def test_choices_are_square_or_round_with_their_words() -> None:
    found = rendered("{% field form.drain %}{% field form.agreed %}", form=Form())

    assert '<fieldset class="field">' in found
    assert found.count('class="choice"') == 2
    assert 'type="radio"' in found
    assert 'type="checkbox"' in found


def test_no_template_of_a_screen_holds_style_or_script_of_its_own() -> None:
    for path in (ROOT / "templates").rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        if "email" in path.parts:
            continue
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=\"|javascript:", text), path
        for script in re.findall(r"<script[^>]*>", text):
            assert " src=" in script or 'type="application/json"' in script, path


def test_signing_in_refused_says_so_and_keeps_the_name(client: Client) -> None:
    answer = client.post("/sign-in/", {"username": "ada", "password": "wrong"})
    page = answer.content.decode()

    assert "Not signed in." in page
    assert 'value="ada"' in page
    assert "wrong" not in page.replace('class="wrong"', "")


def test_an_unknown_address_has_a_page_of_its_own(client: Client) -> None:
    answer = client.get("/no/such/page/")

    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()

"""The page of a build-up: its layers as rows of fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from materials.models import Material
from quotes.presenters.inputs import Group, InputMaker
from quotes.queries.layer_words import SPARE_ROWS

LAYER_ROLES = (
    ("", "–"),
    ("preparation", gettext_lazy("preparation")),
    ("leveller", gettext_lazy("leveller")),
    ("drain", gettext_lazy("drain")),
    ("pan", gettext_lazy("sloped pan")),
    ("mortar_bed", gettext_lazy("mortar bed")),
    ("board", gettext_lazy("board")),
    ("fixing", gettext_lazy("fixings")),
    ("waterproofing", gettext_lazy("waterproofing")),
    ("bed", gettext_lazy("bed")),
    ("tile", gettext_lazy("tile")),
    ("grout", gettext_lazy("grout")),
    ("sealant", gettext_lazy("sealant")),
    ("trim", gettext_lazy("trim")),
    ("cleaning", gettext_lazy("cleaning")),
)
SUPPLIED_BY = (
    ("us", gettext_lazy("us")),
    ("client", gettext_lazy("the client")),
    ("others", gettext_lazy("others")),
)
PATTERNS = (
    ("", "–"),
    ("stack", gettext_lazy("stack bond")),
    ("running_bond", gettext_lazy("running bond")),
    ("herringbone", gettext_lazy("herringbone")),
    ("basketweave", gettext_lazy("basketweave")),
    ("hexagon", gettext_lazy("hexagon")),
    ("chevron", gettext_lazy("chevron")),
)


def layer_groups(
    values: Mapping[str, str], *, count: int, wrong: str = "", sentence: str = ""
) -> tuple[Group, ...]:
    """Return a build-up's layers as rows, with spare ones at the end."""
    make = InputMaker(values, wrong, sentence)
    materials = [
        ("", _("labour only")),
        *(
            (row["code"], f"{row['code']} {row['name']}")
            for row in Material.objects.filter(in_use=True).values("code", "name")
        ),
    ]
    return tuple(_groups(make, count + SPARE_ROWS, materials))


def _groups(
    make: InputMaker, count: int, materials: list[tuple[str, str]]
) -> Iterable[Group]:
    for place in range(count):
        start = f"layer_{place}_"
        yield Group(
            title=_("Layer %(number)d") % {"number": place + 1},
            fields=(
                make(f"{start}role", _("Layer"), "choice", choices=LAYER_ROLES),
                make(f"{start}material", _("Product"), "choice", choices=materials),
                make(
                    f"{start}supplied_by",
                    _("Supplied by"),
                    "choice",
                    choices=SUPPLIED_BY,
                ),
                make(f"{start}joint", _("Joint"), hint=_("tile, grout, sealant")),
                make(f"{start}pattern_name", _("Pattern"), "choice", choices=PATTERNS),
                make(
                    f"{start}pattern_offset",
                    _("Offset"),
                    "text",
                    hint=_("of a running bond: 1/3"),
                ),
                make(f"{start}thickness", _("Thickness"), hint=_("if not the sheet's")),
                make(f"{start}coats", _("Coats"), "text"),
                make(f"{start}notch_width", _("Trowel notch, width")),
                make(f"{start}notch_depth", _("Trowel notch, depth")),
                make(f"{start}turn_up", _("Turn-up")),
                make(f"{start}loss", _("Loss"), "text", hint="5 %"),
            ),
        )

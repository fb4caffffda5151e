"""The page of a build-up: its layers as rows of fields."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from materials.models import Material
from quotes.core.takeoff import ROLE_KINDS
from quotes.presenters.inputs import Group, Input, InputMaker
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
ALONG = (
    ("", "–"),
    ("exposed", gettext_lazy("edges that show")),
    ("perimeter", gettext_lazy("the perimeter")),
    ("corners", gettext_lazy("corners")),
    ("openings", gettext_lazy("openings")),
    ("all", gettext_lazy("all of them")),
)
PATTERNS = (
    ("", "–"),
    ("stack", gettext_lazy("stack bond")),
    ("running_bond", gettext_lazy("running bond")),
    ("herringbone", gettext_lazy("herringbone")),
    ("basketweave", gettext_lazy("basketweave")),
    ("hexagon", gettext_lazy("hexagon")),
    ("hopscotch", gettext_lazy("hopscotch")),
    ("windmill", gettext_lazy("windmill")),
    ("modular", gettext_lazy("four sizes")),
    ("chevron", gettext_lazy("chevron")),
    ("octagon_dot", gettext_lazy("octagon and dot")),
)
TAKES = {
    "preparation": ("coats", "loss"),
    "leveller": ("thickness", "loss"),
    "mortar_bed": ("thickness", "loss"),
    "board": ("thickness", "loss"),
    "fixing": ("spacing", "loss"),
    "waterproofing": ("coats", "turn_up", "lap", "thickness", "loss"),
    "bed": ("notch_width", "notch_depth", "loss"),
    "tile": (
        "pattern_name",
        "pattern_offset",
        "pattern_angle",
        "pattern_n",
        "pattern_with",
        "joint",
    ),
    "grout": ("joint", "loss"),
    "sealant": ("joint", "along", "loss"),
    "trim": ("along", "loss"),
}
"""What a layer of each role can say; a role not named here only names its product."""


def layer_groups(
    values: Mapping[str, str], *, count: int, wrong: str = "", sentence: str = ""
) -> tuple[Group, ...]:
    """Return a build-up's layers as rows, with spare ones at the end.

    A row asks only what its layer takes, and offers only products it can be made of;
    a spare row asks for the layer first.
    """
    make = InputMaker(values, wrong, sentence)
    products = [
        (row["code"], f"{row['name']} ({row['code']})", row["kind"])
        for row in Material.objects.filter(in_use=True)
        .order_by("name", "pk")
        .values("code", "name", "kind")
    ]
    return tuple(_group(make, place, products) for place in range(count + SPARE_ROWS))


def _group(
    make: InputMaker, place: int, products: Sequence[tuple[str, str, str]]
) -> Group:
    start = f"layer_{place}_"
    role = make.values.get(f"{start}role", "")
    return Group(
        title=str(dict(LAYER_ROLES)[role])
        if role in dict(LAYER_ROLES) and role
        else _("Another layer"),
        fields=(
            make(f"{start}role", _("Layer"), "choice", choices=LAYER_ROLES),
            make(
                f"{start}material",
                _("Product"),
                "choice",
                choices=_fitting(make.values, start, role, products),
            ),
            make(
                f"{start}supplied_by", _("Supplied by"), "choice", choices=SUPPLIED_BY
            ),
            *(
                _field(make, start, name)
                for name in FIELDS
                if name in TAKES.get(role, ()) or make.values.get(f"{start}{name}")
            ),
        ),
    )


def _fitting(
    values: Mapping[str, str],
    start: str,
    role: str,
    products: Sequence[tuple[str, str, str]],
) -> list[tuple[str, object]]:
    """Return the products a layer can be made of, and the one it names already."""
    kinds = ROLE_KINDS.get(role)
    named = values.get(f"{start}material", "")
    return [
        ("", _("labour only")),
        *(
            (code, word)
            for code, word, kind in products
            if kinds is None or kind in kinds or code == named
        ),
    ]


FIELDS = {
    "joint": (gettext_lazy("Joint"), "length", ""),
    "pattern_name": (gettext_lazy("Pattern"), "choice", ""),
    "pattern_offset": (
        gettext_lazy("Offset"),
        "text",
        gettext_lazy("of a running bond: 1/3"),
    ),
    "pattern_angle": (
        gettext_lazy("Turned by"),
        "text",
        gettext_lazy("degrees: 45 for diagonal"),
    ),
    "pattern_n": (
        gettext_lazy("Tiles side by side"),
        "text",
        gettext_lazy("basketweave, double herringbone"),
    ),
    "pattern_with": (
        gettext_lazy("Its other sizes"),
        "text",
        gettext_lazy(
            "of hopscotch, windmill, four sizes, octagon: product codes, largest "
            "first, with commas"
        ),
    ),
    "thickness": (
        gettext_lazy("Thickness"),
        "length",
        gettext_lazy("if not the product's"),
    ),
    "coats": (gettext_lazy("Coats"), "text", ""),
    "notch_width": (gettext_lazy("Trowel notch, width"), "length", ""),
    "notch_depth": (gettext_lazy("Trowel notch, depth"), "length", ""),
    "turn_up": (gettext_lazy("Turn-up"), "length", ""),
    "lap": (gettext_lazy("Lap"), "length", ""),
    "spacing": (gettext_lazy("Spacing"), "length", ""),
    "along": (gettext_lazy("Runs along"), "choice", ""),
    "loss": (gettext_lazy("Loss"), "text", gettext_lazy("extra for cuts: 5 %")),
}
CHOICES = {"pattern_name": PATTERNS, "along": ALONG}


def _field(make: InputMaker, start: str, name: str) -> Input:
    label, kind, hint = FIELDS[name]
    return make(
        f"{start}{name}",
        str(label),
        kind,
        hint=str(hint),
        choices=CHOICES.get(name, ()),
    )

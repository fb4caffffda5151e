"""Reads the chosen part of a visit file: build-ups, labour, lines, rates, terms."""

from __future__ import annotations

from fractions import Fraction

from materials.core import amounts
from materials.core.kinds.mortar import Notch
from materials.core.lengths import NOTHING
from quotes.core.buildup import LAYER_ROLES, BuildUp, Layer
from quotes.core.choices import (
    Allowance,
    ExtraLabour,
    HandLine,
    Overrule,
    OwnOutput,
    Rates,
    StageShare,
    Terms,
)
from quotes.core.file_node import FLOOR_LIMIT, Node
from quotes.core.layout.orders import ASSUMED, EVIDENCE, Habits, Ordering

SUPPLIED_BY = ("us", "client", "others")
PATTERNS = (
    "stack",
    "running_bond",
    "herringbone",
    "basketweave",
    "hexagon",
    "hopscotch",
    "windmill",
    "modular",
    "chevron",
    "octagon_dot",
)
COST_CLASSES = (
    "materials",
    "labour",
    "hire",
    "disposal",
    "subcontract",
    "travel",
    "other",
)
TAXED_CLASSES = (*COST_CLASSES, "overhead", "contingency", "adjustment")
_LENGTHS = ("depth", "back_butter", "turn_up", "lap", "spacing", "edge_spacing")
_SETTINGS = (
    "joint",
    *_LENGTHS,
    "coats",
    "notch",
    "blade_angle",
    "loss",
    "along",
    "pieces",
)


def read_build_ups(node: Node) -> dict[str, BuildUp]:
    """Return the build-ups of the file by key, in the order written."""
    build_ups: dict[str, BuildUp] = {}
    group = node.child("build_ups")
    for key in group.value:
        one = group.child(str(key))
        one.only("name", "layers")
        one.demand("layers")
        build_ups[str(key)] = BuildUp(
            key=str(key),
            name=one.text("name", str(key)),
            layers=tuple(map(_layer, one.children("layers", most=40))),
        )
    return build_ups


def _layer(node: Node) -> Layer:
    node.only(
        "role", "material", "supplied_by", "thickness", "pattern", *_SETTINGS
    )  # fmt: skip
    node.demand("role")
    return Layer(
        role=node.choice("role", LAYER_ROLES, ""),
        material=node.text("material", most=40),
        supplied_by=node.choice("supplied_by", SUPPLIED_BY, "us"),
        thickness=node.maybe_length("thickness", nothing=True),
        pattern=read_pattern(node),
        settings=_settings(node),
        typed={name: node.value[name] for name in _SETTINGS if node.has(name)},
    )


def _settings(node: Node) -> dict[str, object]:
    settings: dict[str, object] = {
        name: node.length(name, nothing=True).length
        for name in _LENGTHS
        if node.has(name)
    }
    if node.has("joint"):
        settings["joint"] = node.length("joint", nothing=True).length
    if node.has("coats"):
        settings["coats"] = node.count("coats", 2, least=1, most=10)
    if node.has("pieces"):
        settings["pieces"] = node.count("pieces", 0, least=0, most=1000)
    if node.has("loss"):
        settings["loss"] = node.share("loss", Fraction(0))
    if node.has("blade_angle"):
        settings["blade_angle"] = node.choice("blade_angle", ("45", "60", "90"), "45")
    if node.has("along"):
        settings["along"] = node.choice(
            "along", ("exposed", "perimeter", "corners", "openings", "all"), "all"
        )
    if node.has("notch"):
        settings["notch"] = _notch(node.child("notch"))
    return settings


def _notch(node: Node) -> Notch:
    node.only("kind", "width", "depth", "land")
    land = node.maybe_length("land", nothing=True)
    return Notch(
        kind=node.choice("kind", ("square", "v", "u"), "square"),
        width=node.length("width").length,
        depth=node.length("depth").length,
        land=land.length if land else NOTHING,
    )


def read_pattern(node: Node) -> dict[str, object]:
    """Return the pattern of a layer or region as it was written, checked.

    Numbers stay texts: the set-out reads them exactly.
    """
    if not node.has("pattern"):
        return {}
    inner = node.child("pattern")
    inner.only(
        "name", "offset", "returning", "n", "angle", "slope", "origin", "with"
    )  # fmt: skip
    inner.demand("name")
    inner.choice("name", PATTERNS, "stack")
    for name in ("offset", "angle", "slope"):
        inner.number(name, Fraction(0), nothing=True)
    inner.count("n", 1, least=1, most=12)
    inner.yes("returning", default=False)
    origin = inner.value.get("origin")
    if isinstance(origin, str):
        inner.choice("origin", ("symmetrical", "least_tile", "fewest_cuts"), "")
    elif origin is not None:
        inner.point("origin", limit=FLOOR_LIMIT[node.rules.system])
    if inner.has("with"):
        for code in inner.items("with", most=3):
            if not isinstance(code, str) or not code.strip():
                raise inner.refuse(
                    "with", f"“{inner.at('with')}” must name products in quotes."
                )
    return dict(inner.value)


def read_labour(node: Node) -> tuple[ExtraLabour, ...]:
    """Return the operations added by hand."""
    found = []
    for one in node.children("labour", most=200):
        one.only("operation", "quantity", "place", "note", "factor")
        one.demand("quantity")
        found.append(
            ExtraLabour(
                operation=one.name_text("operation", most=80),
                quantity=one.number("quantity", Fraction(0)),
                place=one.text("place"),
                note=one.text("note"),
                factor=one.number("factor", Fraction(1)),
            )
        )
    return tuple(found)


def read_hand_lines(node: Node) -> tuple[HandLine, ...]:
    """Return the lines typed by hand."""
    found = []
    for one in node.children("hand_lines", most=500):
        one.only("text", "cost_class", "quantity", "unit", "unit_cost", "unit_price")
        found.append(
            HandLine(
                text=one.name_text("text"),
                cost_class=one.choice("cost_class", COST_CLASSES, "labour"),
                quantity=one.number("quantity", Fraction(1)),
                unit=one.text("unit", most=20),
                unit_cost=one.maybe_money("unit_cost"),
                unit_price=one.money("unit_price"),
            )
        )
    return tuple(found)


def read_overrules(node: Node) -> tuple[Overrule, ...]:
    """Return the owner's figures, each with its reason; one for each figure."""
    found: list[Overrule] = []
    seen: set[tuple[str, str]] = set()
    for one in node.children("overrules", most=500):
        one.only("line", "what", "value", "reason")
        one.demand("what", "value")
        overrule = Overrule(
            line=one.name_text("line", most=120),
            what=one.choice(
                "what", ("quantity", "packs", "hours", "cost", "price"), ""
            ),
            value=one.read("value", str),
            reason=one.name_text("reason"),
        )
        if (overrule.line, overrule.what) in seen:
            raise one.refuse(
                "line",
                f"The {overrule.what} of “{overrule.line}” is overruled twice; "
                "keep one of them.",
            )
        seen.add((overrule.line, overrule.what))
        found.append(overrule)
    return tuple(found)


def read_allowances(node: Node) -> tuple[Allowance, ...]:
    """Return the sums set aside."""
    found = []
    for one in node.children("allowances", most=100):
        one.only("nature", "text", "amount")
        one.demand("nature")
        amount = one.money("amount")
        rounded = amounts.money(amounts.exact(amount), amount.currency.code)
        if rounded != amount:
            raise one.refuse(
                "amount", f"{amount} has more decimals than can be paid; round it."
            )
        found.append(
            Allowance(
                nature=one.choice("nature", ("allowance", "provisional_sum"), ""),
                text=one.name_text("text"),
                amount=amount,
            )
        )
    return tuple(found)


def read_rates(node: Node) -> Rates | None:
    """Return the rates of the file, or None where the stored ones hold."""
    if node.value.get("rates", "stored") == "stored":
        return None
    one = node.child("rates")
    one.only(
        "setter_wage", "helper_wage", "overhead_per_hour", "hours_per_day",
        "travel_per_visit", "method", "materials_rate", "labour_rate", "other_rate",
        "contingency", "minimum_charge", "round_to", "tax_name", "sales_tax",
        "purchase_tax", "purchase_tax_recoverable", "tax_basis", "taxed_classes",
        "outputs",
    )  # fmt: skip
    none = amounts.zero(node.rules.currency)
    nought = Fraction(0)
    method = one.choice("method", ("markup", "margin"), "markup")
    most = 10 if method == "markup" else 1
    setter = one.money("setter_wage")
    return Rates(
        setter_wage=setter,
        helper_wage=one.maybe_money("helper_wage") or setter,
        overhead_per_hour=one.maybe_money("overhead_per_hour") or none,
        hours_per_day=one.number("hours_per_day", Fraction(8)),
        travel_per_visit=one.maybe_money("travel_per_visit"),
        method=method,
        materials_rate=one.share("materials_rate", nought, most=most),
        labour_rate=one.share("labour_rate", nought, most=most),
        other_rate=one.share("other_rate", nought, most=most),
        contingency=one.share("contingency", nought),
        minimum_charge=one.maybe_money("minimum_charge"),
        round_to=one.maybe_money("round_to"),
        tax_name=one.text("tax_name", "VAT", most=20),
        sales_tax=one.share("sales_tax", nought),
        purchase_tax=one.share("purchase_tax", nought),
        purchase_tax_recoverable=one.yes("purchase_tax_recoverable", default=True),
        tax_basis=one.choice("tax_basis", ("document", "line"), "document"),
        taxed_classes=_taxed(one),
        outputs=_outputs(one),
    )


def _taxed(node: Node) -> tuple[str, ...]:
    classes = []
    for index, value in enumerate(node.items("taxed_classes", most=10)):
        if value not in TAXED_CLASSES or value in classes:
            raise node.refuse(
                f"taxed_classes[{index}]",
                f"“{str(value)[:40]}” is one of {', '.join(TAXED_CLASSES)}, each once.",
            )
        classes.append(str(value))
    return tuple(classes)


def _outputs(node: Node) -> tuple[OwnOutput, ...]:
    found = []
    for one in node.children("outputs", most=200):
        one.only("operation", "hours", "helper_hours")
        one.demand("hours")
        found.append(
            OwnOutput(
                operation=one.name_text("operation", most=80),
                hours=one.number("hours", Fraction(0), nothing=True),
                helper_hours=one.number("helper_hours", Fraction(0), nothing=True),
            )
        )
    return tuple(found)


def read_ordering(node: Node) -> Ordering:
    """Return how tile is ordered; what is left out is the usual assumption."""
    one = node.child("ordering")
    one.only("certainty", "saved_of_eight", "broken_cut", "broken_whole")
    usual = ASSUMED
    certainty = one.share("certainty", usual.certainty)
    if not Fraction(1, 2) <= certainty < 1:
        raise one.refuse(
            "certainty", "The certainty of an order lies from 50 % to below 100 %."
        )
    saved = one.count("saved_of_eight", usual.habits.saved, least=1, most=7)
    return Ordering(
        certainty=certainty,
        habits=Habits(
            saved=saved,
            not_saved=EVIDENCE - saved,
            broken_a_cut=one.share("broken_cut", usual.habits.broken_a_cut),
            broken_a_whole=one.share("broken_whole", usual.habits.broken_a_whole),
        ),
    )


def read_terms(node: Node) -> Terms:
    """Return what the offer says beside its figures."""
    one = node.child("terms")
    one.only(
        "scope", "exclusions", "text", "deposit", "discount", "stages", "holds_days",
        "payment_days",
    )  # fmt: skip
    exclusions = []
    for index, text in enumerate(one.items("exclusions", most=60)):
        if not isinstance(text, str) or not text.strip():
            raise one.refuse(
                f"exclusions[{index}]", "An exclusion is a sentence; fill it in."
            )
        exclusions.append(text)
    return Terms(
        scope=one.text("scope", most=4000),
        exclusions=tuple(exclusions),
        text=one.text("text", most=4000),
        deposit=one.share("deposit", Fraction(0)),
        discount=one.share("discount", Fraction(0)),
        stages=_stages(one),
        holds_days=one.count("holds_days", 30, least=1, most=730),
        payment_days=one.count("payment_days", 14, least=0, most=365),
    )


def _stages(node: Node) -> tuple[StageShare, ...]:
    stages = []
    for one in node.children("stages", most=24):
        one.only("label", "share")
        one.demand("share")
        stages.append(
            StageShare(
                label=one.name_text("label"), share=one.share("share", Fraction(0))
            )
        )
    if stages and sum(stage.share for stage in stages) != 1:
        raise node.refuse(
            "stages", "The shares of the stages must add up to the whole, 100 %."
        )
    return tuple(stages)

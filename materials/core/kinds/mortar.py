"""Mortar: adhesive by notch or printed coverage, bed and leveller by volume, primer.

A notched blade leaves ridges; pressed flat they are a bed of the ridges' mean
thickness. Held at an angle the blade leaves less: the geometry says how much.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from materials.core.areas import TICKS2_PER_SQ_M
from materials.core.kind import Kind, Parameter
from materials.core.lengths import NOTHING, Length
from materials.core.need import Extent, MaterialFacts, Need, Step
from materials.core.quantities import decimal_text, half_up
from materials.core.sources import Source
from materials.core.working import (
    area_step,
    chosen_length,
    chosen_number,
    demand,
    figure,
    length_in,
    number_in,
    places_of,
    system_of,
    total_area,
    with_loss,
)

NOTCH = Source(title="geometry: mean thickness of combed ridges, pressed flat")
PRINTED = Source(title="product sheet: coverage as printed")
VOLUME = Source(title="geometry: area × thickness, or the measured volume")

SINE = {
    "90": Fraction(1),
    "60": Fraction("0.8660254"),
    "45": Fraction("0.7071068"),
}
"""Sine of the blade's angle to the floor, to seven places."""

PI = Fraction("3.1415927")

YIELD = Fraction("0.8")
"""Litres of mixed adhesive from 1 kg of powder (1.25 kg a litre), an assumption that
the sheet's own figure replaces."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """The teeth of a trowel: `kind` is square, v or u; `land` the flat between."""

    kind: str
    width: Length
    depth: Length
    land: Length = NOTHING


def combed_thickness(notch: Notch, angle: str) -> Fraction:
    """Return the mean thickness a notched blade leaves, in millimetres, exactly.

    Square: depth · width ÷ (width + land). V: depth · width ÷ 2(width + land).
    U with a half-round bottom: (width (depth − width/2) + π width²/8) ÷ (width + land).
    All times the sine of the blade's angle. A square notch without a land stated has
    one as wide as the notch.
    """
    width, depth = notch.width.in_mm, notch.depth.in_mm
    land = notch.land.in_mm
    if notch.kind == "square" and not land:
        land = width
    pitch = width + land
    if notch.kind == "v":
        mean = depth * width / (2 * pitch)
    elif notch.kind == "u":
        mean = (width * (depth - width / 2) + PI * width * width / 8) / pitch
    else:
        mean = depth * width / pitch
    return mean * SINE[angle]


def need(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> Need:
    """Return the mass of mortar the extents take, by the use the sheet states.

    A layer with a `notch` goes by its geometry; otherwise adhesive and primer go by
    the coverage printed, bed and leveller by volume.

    Units: kg as sold.
    Raises: OutOfRange when neither a notch nor a coverage nor a thickness is known.
    """
    use = str(material.facts.get("use", "adhesive"))
    if use in ("bed", "leveller") and not isinstance(settings.get("notch"), Notch):
        net, steps = _by_volume(material, extents, settings)
    else:
        net, steps = _spread(material, extents, settings)
    share = chosen_number("loss", settings, material.facts)
    quantity, loss, loss_steps = with_loss(net, share, "kg")
    return Need(
        material=material.code,
        unit="kg",
        quantity=quantity,
        loss=loss,
        working=(area_step(extents, system_of(settings)), *steps, *loss_steps),
        places=places_of(extents),
        notes=(
            *_bed_notes(material, settings),
            *_filled_notes(material, extents, settings),
        ),
    )


def _spread(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> tuple[Fraction, list[Step]]:
    """Return what a bed spread to one thickness takes, and what is filled by volume.

    The bed of a tread is filled to its height, whatever blade combs it.
    """
    filled = [extent for extent in extents if extent.volume is not None]
    even = [extent for extent in extents if extent.volume is None]
    net = Fraction(0)
    steps: list[Step] = []
    notch = settings.get("notch")
    if even and isinstance(notch, Notch):
        net, steps = _by_notch(material, even, settings, notch)
    elif even and _volume_known(material, even, settings):
        filled = [*extents]
    elif even or not filled:
        net, steps = _by_coverage(material, even)
    if filled:
        more, told = _by_volume(material, filled, settings)
        net, steps = net + more, [*steps, *told]
    return net, steps


def _volume_known(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> bool:
    printed = number_in(material.facts, "coverage_area")
    return not printed and bool(length_in(settings, "thickness"))


def _yield(material: MaterialFacts) -> tuple[Fraction, str]:
    stated = number_in(material.facts, "litres_per_kg")
    if stated:
        return stated, "from its sheet"
    return YIELD, "assumed, the sheet states none"


def _by_notch(
    material: MaterialFacts,
    extents: Sequence[Extent],
    settings: Mapping[str, object],
    notch: Notch,
) -> tuple[Fraction, list[Step]]:
    system = system_of(settings)
    angle = str(settings.get("blade_angle", "45"))
    mean = combed_thickness(notch, angle)
    butter = length_in(settings, "back_butter")
    thickness = mean + butter.in_mm
    per_kg, origin = _yield(material)
    litres = total_area(extents).sq_m * thickness
    buttered = f" + {butter.text(system)} on the back" if butter else ""
    return litres / per_kg, [
        Step(
            label="Bed",
            formula=(
                f"{notch.kind} notch {notch.width.text(system)} × "
                f"{notch.depth.text(system)}, blade at {angle}°{buttered}"
            ),
            result=f"{decimal_text(thickness, places=2)} mm",
            source=NOTCH,
        ),
        Step(
            label="Adhesive",
            formula=(f"{figure(litres, 'l')} ÷ {figure(per_kg, 'l/kg')} ({origin})"),
            result=figure(litres / per_kg, "kg"),
        ),
    ]


def _by_coverage(
    material: MaterialFacts, extents: Sequence[Extent]
) -> tuple[Fraction, list[Step]]:
    area = number_in(material.facts, "coverage_area")
    of = number_in(material.facts, "coverage_of")
    demand(
        area > 0 and of > 0,
        f"{material.name} needs a notch on its layer, or its printed coverage.",
        field="coverage_area",
    )
    net = total_area(extents).sq_m / area * of
    return net, [
        Step(
            label="Printed coverage",
            formula=(
                f"{figure(total_area(extents).sq_m, 'm²')} ÷ {figure(area, 'm²')} "
                f"× {figure(of, 'kg')}"
            ),
            result=figure(net, "kg"),
            source=PRINTED,
        )
    ]


def _by_volume(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> tuple[Fraction, list[Step]]:
    system = system_of(settings)
    thickness = chosen_length("thickness", settings, material.facts)
    per_kg, origin = _yield(material)
    litres = Fraction(0)
    steps: list[Step] = []
    for extent in extents:
        if extent.volume is None:
            demand(
                bool(thickness),
                f"{material.name} on {extent.place} needs a thickness, or heights "
                "measured on the floor.",
                field="thickness",
            )
            one = Fraction(extent.area.ticks2, TICKS2_PER_SQ_M) * thickness.in_mm
            words = f"{extent.area.text(system)} × {thickness.text(system)}"
        else:
            one = extent.volume
            words = f"measured {figure(one, 'l')}"
        litres += one * extent.times
        steps.append(
            Step(
                label=f"Volume, {extent.place}",
                formula=f"{words} × {extent.times}",
                result=figure(one * extent.times, "l"),
                source=VOLUME,
            )
        )
    steps.append(
        Step(
            label="Mass",
            formula=f"{figure(litres, 'l')} ÷ {figure(per_kg, 'l/kg')} ({origin})",
            result=figure(litres / per_kg, "kg"),
        )
    )
    return litres / per_kg, steps


def _bed_notes(
    material: MaterialFacts, settings: Mapping[str, object]
) -> tuple[str, ...]:
    notch = settings.get("notch")
    least = length_in(material.facts, "thickness_min")
    most = length_in(material.facts, "thickness_max")
    system = system_of(settings)
    if isinstance(notch, Notch):
        mean = combed_thickness(notch, str(settings.get("blade_angle", "45")))
        thickness = mean + length_in(settings, "back_butter").in_mm
    else:
        thickness = chosen_length("thickness", settings, material.facts).in_mm
    if not thickness:
        return ()
    shown = f"{decimal_text(half_up(thickness, Fraction(1, 100)), places=2)} mm"
    if least and thickness < least.in_mm:
        return (
            f"{material.name} wants a bed of at least {least.text(system)}; this one "
            f"comes to {shown}.",
        )
    if most and thickness > most.in_mm:
        return (
            f"{material.name} goes up to {most.text(system)}; this bed comes to "
            f"{shown}.",
        )
    return ()


def _filled_notes(
    material: MaterialFacts, extents: Sequence[Extent], settings: Mapping[str, object]
) -> tuple[str, ...]:
    """Say where an adhesive fills more height, or less, than its sheet allows."""
    if str(material.facts.get("use", "adhesive")) != "adhesive":
        return ()
    least = length_in(material.facts, "thickness_min")
    most = length_in(material.facts, "thickness_max")
    system = system_of(settings)
    notes = []
    for extent in extents:
        if not extent.volume:
            continue
        thick = extent.volume / extent.area.sq_m  # mm
        if most and thick > most.in_mm:
            limit = f"goes up to {most.text(system)}"
        elif least and thick < least.in_mm:
            limit = f"wants a bed of at least {least.text(system)}"
        else:
            continue
        shown = decimal_text(half_up(thick, Fraction(1, 100)), places=2)
        notes.append(
            f"{extent.place}: {material.name} {limit}; this bed is {shown} mm."
        )
    return tuple(notes)


KIND = Kind(
    key="mortar",
    label="Mortar",
    sold_as="bag",
    unit="kg",
    parameters=(
        Parameter(
            name="use",
            label="Use",
            type="choice",
            choices=("adhesive", "bed", "leveller", "primer"),
            default="adhesive",
        ),
        Parameter(
            name="coverage_area",
            label="Printed coverage: area",
            type="number",
            unit="m2",
            required=False,
        ),
        Parameter(
            name="coverage_of",
            label="Printed coverage: of how much",
            type="number",
            unit="kg",
            required=False,
        ),
        Parameter(
            name="litres_per_kg",
            label="Litres mixed from 1 kg",
            type="number",
            unit="l/kg",
            required=False,
        ),
        Parameter(name="thickness", label="Thickness", type="length", required=False),
        Parameter(
            name="thickness_min", label="Thinnest bed", type="length", required=False
        ),
        Parameter(
            name="thickness_max", label="Thickest bed", type="length", required=False
        ),
        Parameter(name="loss", label="Loss", type="rate", default="5 %"),
        Parameter(
            name="class_code",
            label="Class",
            type="text",
            required=False,
            help="as printed, such as C2TE S1",
        ),
    ),
    need=need,
    source=VOLUME,
)

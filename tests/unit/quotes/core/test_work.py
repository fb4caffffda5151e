from __future__ import annotations

from fractions import Fraction

import pytest

from materials.core.lengths import Length
from quotes.core.choices import ExtraLabour
from quotes.core.labour import HEIGHT, OVERHEAD, TIGHT
from quotes.core.visit import Site
from quotes.core.visit_file import read_visit
from quotes.core.work import cut_length, extra_tasks, tasks_of, trimmed_shares
from tests import builders
from tests.priced import priced_visit

SHOWER = priced_visit(builders.a_shower())


def _tasks(file, *, site=None):
    found = priced_visit(file)
    visit = read_visit(file)
    return tasks_of(
        found.takeoff,
        catalogue={},
        site=site or visit.site,
        system=visit.system,
    )


def _of(tasks, operation):
    return [task for task in tasks if task.operation == operation]


def test_a_shower_takes_each_operation_once_for_each_place():
    tasks = _tasks(builders.a_shower())

    assert [task.place for task in _of(tasks, "fix_board")] == [
        "Shower, back wall",
        "Shower, left wall",
        "Shower, right wall",
    ]
    assert [task.quantity for task in _of(tasks, "set_pan")] == [1]
    assert [task.quantity for task in _of(tasks, "set_drain")] == [1]
    assert [task.quantity for task in _of(tasks, "form_niche")] == [1]
    assert [task.quantity for task in _of(tasks, "cut_hole")] == [1]
    assert len(_of(tasks, "protect")) == len(_of(tasks, "set_out")) == 1


def test_the_floor_of_a_recess_is_set_as_floor_and_walls_as_wall():
    tasks = _tasks(builders.a_shower())

    assert [task.place for task in _of(tasks, "set_floor_tile")] == ["Shower, floor"]
    assert len(_of(tasks, "set_wall_tile")) == 3


def test_bed_and_grout_of_a_tiled_layer_are_within_its_setting():
    operations = {task.operation for task in _tasks(builders.a_shower())}

    assert "grout_alone" not in operations
    assert not operations & {"bed", "grout"}


def test_the_corner_band_is_within_sealing():
    found = SHOWER
    catalogue_tasks = [
        line for line in found.option.lines if line.key == "labour:seal_surface"
    ]
    tiled = sum(
        (
            measure.quantity
            for measure in found.takeoff.measures
            if measure.key == "layer_area" and measure.material == "LM-2"
        ),
        Fraction(0),
    )
    setter = next(
        part.hours for part in catalogue_tasks[0].hours if part.role == "setter"
    )

    # Tight access slows the work in this house by no factor: its way in is wide.
    assert abs(setter - tiled * Fraction("0.35")) <= Fraction(1, 200)


def test_trimming_the_pan_is_measured_along_the_cut():
    found = SHOWER
    (floor,) = found.takeoff.slopes
    piece = floor.way.pieces[0]
    (task,) = _of(_tasks(builders.a_shower()), "cut_pan")

    sides = {trim.side for trim in piece.trims}
    by_hand = Fraction(0)
    for side in sides:
        along = piece.pan.depth if side in ("left", "right") else piece.pan.width
        by_hand += along.in_m

    assert task.quantity == by_hand == cut_length(piece)
    assert task.quantity > 0


def test_trimmed_shares_are_areas_over_the_whole_pan():
    found = SHOWER
    (floor,) = found.takeoff.slopes
    piece = floor.way.pieces[0]

    shares = trimmed_shares(found.takeoff.slopes)

    whole = piece.pan.width.ticks * piece.pan.depth.ticks
    assert shares[piece.pan.name] == (
        (whole - piece.used) / whole,
        piece.racked / whole,
    )


def test_repeats_take_so_many_times_the_work():
    file = builders.a_hall()
    once = _of(_tasks(file), "set_floor_tile")[0].quantity
    file["spaces"][0]["times"] = 3

    assert _of(_tasks(file), "set_floor_tile")[0].quantity == 3 * once


def test_a_splashback_counts_as_part_height():
    setting = _of(_tasks(builders.a_kitchen_wall()), "set_wall_tile")[0].setting

    assert setting is not None
    assert setting.half_height


def test_a_diagonal_pattern_is_seen():
    file = builders.a_hall()
    tile = file["build_ups"]["hall_floor"]["layers"][3]
    tile["pattern"] = {"name": "stack", "angle": "45"}

    setting = _of(_tasks(file), "set_floor_tile")[0].setting

    assert setting is not None
    assert setting.diagonal


def test_a_porcelain_body_is_seen():
    file = builders.a_hall()
    for material in file["price_list"]["materials"]:
        if material["code"] == "FT-60":
            material["facts"]["body"] = "porcelain"

    before = priced_visit(builders.a_hall()).option.line("labour:set_floor_tile")
    after = priced_visit(file).option.line("labour:set_floor_tile")

    assert after.quantity > before.quantity
    assert "porcelain" in after.working[0].formula


@pytest.mark.parametrize(("width", "slow"), [("27", True), ("28", False), ("", False)])
def test_a_narrow_way_in_slows_everything_measured(width, slow):
    file = builders.a_shower()
    file["site"]["access"] = {"width": width} if width else {}

    factors = _of(_tasks(file), "fix_board")[0].factors

    assert (TIGHT in factors) is slow


def test_high_walls_and_ceilings_are_slower():
    file = builders.a_shower()
    surfaces = file["spaces"][0]["surfaces"]
    surfaces[1]["shape"]["height"] = "9' 2\""
    del surfaces[2:]
    surfaces.append(
        {
            "id": "lid",
            "name": "ceiling",
            "role": "ceiling",
            "exposure": "wet",
            "build_up": "wet_wall",
            "shape": {"kind": "rectangle", "width": "40", "height": "50"},
        }
    )

    tasks = _tasks(file)

    by_place = {task.place: task.factors for task in _of(tasks, "fix_board")}
    assert by_place["Shower, back wall"] == (HEIGHT,)
    assert by_place["Shower, ceiling"] == (OVERHEAD,)


def test_nothing_measured_takes_no_work_at_all():
    file = builders.a_hall(spaces=[])

    assert _tasks(file, site=Site()) == ()


def test_labour_added_by_hand_keeps_its_factor_and_note():
    (task,) = extra_tasks(
        [
            ExtraLabour(
                operation="strip_board",
                quantity=Fraction(9),
                place="Shower",
                note="glued",
                factor=Fraction(3, 2),
            )
        ]
    )

    assert (task.quantity, task.place, task.note) == (9, "Shower", "glued")
    assert [factor.value for factor in task.factors] == [Fraction(3, 2)]


def test_an_imperial_visit_reads_both_units():
    task = _of(_tasks(builders.a_shower()), "fix_board")[0]

    assert "sq ft" in task.measured
    assert "m²" in task.measured
    assert Length.inch("56 1/4").in_m * Length.inch("91 1/2").in_m > task.quantity

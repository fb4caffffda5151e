from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.core.errors import OutOfRange, Unknown
from quotes.core.choices import OwnOutput
from quotes.core.labour import (
    BASES,
    OPERATIONS,
    OVERHEAD,
    OWN,
    PUBLISHED,
    SHOP,
    Task,
    operation_hours,
    operation_of,
)
from quotes.core.offer import SECTIONS

FROZEN_KEYS = {
    "set_floor_tile", "set_wall_tile", "set_skirting", "strip_floor_tile",
    "strip_thick_floor_tile", "strip_wall_tile", "strip_board", "protect", "set_out",
    "prepare_surface", "lay_leveller", "fix_board", "cut_board", "seal_surface",
    "form_niche", "set_drain", "set_pan", "set_two_pans", "set_pan_and_board",
    "cut_pan", "float_mortar_bed", "cut_hole", "set_step", "mitre_edge",
    "mitre_corner", "set_trim", "grout_alone", "seal_joint", "clean_down",
    "water_test",
}  # fmt: skip


def _hours(*tasks, outputs=()):
    return {one.operation.key: one for one in operation_hours(tasks, outputs)}


def test_keys_of_operations_never_change():
    assert {operation.key for operation in OPERATIONS} >= FROZEN_KEYS
    assert len({operation.key for operation in OPERATIONS}) == len(OPERATIONS)


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda one: one.key)
def test_an_operation_is_complete(operation):
    assert operation.label
    assert operation.basis in BASES
    assert operation.section in SECTIONS
    assert operation.output is not None or operation.setter > 0
    assert operation.mark in (PUBLISHED, SHOP)
    assert str(operation.source)


def test_what_nobody_published_says_so():
    for key in ("fix_board", "seal_surface", "grout_alone", "strip_wall_tile"):
        assert operation_of(key).mark == SHOP


def test_published_hours_are_marked_as_not_the_business_s_own():
    found = _hours(Task(operation="strip_floor_tile", quantity=Fraction(10)))
    hours = found["strip_floor_tile"]

    assert (hours.setter, hours.helper) == (Fraction("2.4"), Fraction("2.88"))
    assert hours.mark == PUBLISHED
    assert (hours.least, hours.most) == (Fraction("2.64"), Fraction("10.56"))
    assert "not yours" in hours.working[-1].formula


def test_an_own_output_replaces_the_published_one_without_a_spread():
    own = OwnOutput(
        operation="strip_floor_tile",
        hours=Fraction("0.5"),
        helper_hours=Fraction("0.1"),
    )
    hours = _hours(
        Task(operation="strip_floor_tile", quantity=Fraction(10)), outputs=[own]
    )["strip_floor_tile"]

    assert (hours.setter, hours.helper) == (5, 1)
    assert hours.mark == OWN
    assert hours.least == hours.most == 6


def test_factors_are_stated_and_multiply():
    task = Task(operation="seal_surface", quantity=Fraction(4), factors=(OVERHEAD,))
    hours = _hours(task)["seal_surface"]

    assert hours.setter == Fraction("0.35") * 4 * OVERHEAD.value
    assert "overhead work" in hours.working[0].formula


def test_places_are_added_up_before_the_one_rounding():
    tasks = [
        Task(operation="seal_joint", quantity=Fraction("0.4"), place=place)
        for place in ("a", "b", "c")
    ]

    hours = _hours(*tasks)["seal_joint"]

    assert hours.setter == Fraction("0.07")  # 0.072; rounded one by one: 0.06
    assert hours.places == ("a", "b", "c")


@given(
    st.lists(
        st.tuples(
            st.sampled_from([operation.key for operation in OPERATIONS]),
            st.fractions(0, 500, max_denominator=1000),
        ),
        max_size=12,
    )
)
def test_more_work_never_takes_fewer_hours(work):
    tasks = [Task(operation=key, quantity=quantity) for key, quantity in work]

    fewer = _hours(*tasks[:-1])
    more = _hours(*tasks)

    for key, hours in fewer.items():
        assert more[key].setter >= hours.setter
        assert more[key].helper >= hours.helper


def test_no_quantity_takes_no_operation():
    assert operation_hours([Task(operation="set_out", quantity=Fraction(0))]) == ()


@pytest.mark.parametrize(
    ("task", "error"),
    [
        (Task(operation="juggle", quantity=Fraction(1)), Unknown),
        (Task(operation="set_out", quantity=Fraction(-1)), OutOfRange),
        (Task(operation="set_out", quantity=Fraction(10**9)), OutOfRange),
    ],
)
def test_impossible_work_is_refused(task, error):
    with pytest.raises(error):
        operation_hours([task])


@pytest.mark.parametrize(
    ("output", "error"),
    [
        (OwnOutput(operation="juggle", hours=Fraction(1)), Unknown),
        (OwnOutput(operation="set_out", hours=Fraction(-1)), OutOfRange),
        (OwnOutput(operation="set_out", hours=Fraction(10**9)), OutOfRange),
    ],
)
def test_an_impossible_own_output_is_refused(output, error):
    with pytest.raises(error):
        operation_hours([], [output])

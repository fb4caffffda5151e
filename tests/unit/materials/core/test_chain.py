"""The trail's chain: whatever is changed in it, or left out of it, shows."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from materials.core.chain import (
    Step,
    broken_links,
    digest_of,
    group_digest,
    step_digest,
)

START = datetime(2026, 5, 14, 16, 0, tzinfo=UTC)


def a_chain(length: int) -> list[Step]:
    steps: list[Step] = []
    for seq in range(1, length + 1):
        step = Step(
            seq=seq,
            at=START + timedelta(minutes=seq),
            actor=seq % 3 or None,
            actor_kind="person",
            action="record use",
            subject=f"J-{seq:04d}",
            facts={"quantity": str(seq)},
            previous=steps[-1].digest if steps else "",
        )
        steps.append(replace(step, digest=step_digest(step)))
    return steps


def holds(steps: list[Step], whole: list[Step]) -> bool:
    return not list(broken_links(steps, last=len(whole), head=whole[-1].digest))


def test_a_chain_as_it_was_written_holds() -> None:
    chain = a_chain(50)

    assert holds(chain, chain)
    assert list(broken_links([], last=0, head="")) == []


@pytest.mark.parametrize(
    "change",
    [
        {"at": START}, {"actor": 9}, {"actor_kind": "link"}, {"action": "record"},
        {"subject": "J-1"}, {"facts": {}}, {"previous": "0"}, {"digest": "0"},
        {"seq": 99},
    ],
    ids=str,
)  # fmt: skip
def test_a_step_changed_in_any_part_shows(change: dict[str, object]) -> None:
    chain = a_chain(20)
    for place in (0, 7, 19):
        changed = [*chain]
        changed[place] = replace(chain[place], **change)  # type: ignore[arg-type]
        assert not holds(changed, chain)


def test_steps_left_out_moved_or_put_in_show() -> None:
    """1,000 random cuts, swaps and copies of a chain of 60 steps."""
    chain, chance = a_chain(60), random.Random(3)
    for _ in range(1_000):
        changed = [*chain]
        one, two = sorted(chance.sample(range(60), 2))
        match chance.randrange(4):
            case 0:
                del changed[one]
            case 1:
                changed[one], changed[two] = changed[two], changed[one]
            case 2:
                changed.insert(two, changed[one])
            case 3:
                del changed[two:]
        assert not holds(changed, chain)


def test_a_digest_is_that_of_the_canonical_json() -> None:
    assert digest_of({"b": 1, "a": [2]}) == digest_of({"a": [2], "b": 1})
    # SHA-256 of `{}`, by the sha256sum program.
    assert digest_of({}) == (
        "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
    )
    assert group_digest(["a", "b"]) != group_digest(["b", "a"])

"""How long a refused sign-in takes does not tell whether the name is known.

`GAUGEROD_SIGN_INS` says how many refusals are timed: few in the gate, where a skipped
hash would show in a handful; 10,000 in the deep one. The two kinds are asked in random
order, so that whatever else the machine does falls on both alike.
"""

from __future__ import annotations

import os
import random
import sys
import time
from collections.abc import Iterator
from statistics import fmean, median, variance

import pytest
from django.test import Client as Browser
from django.urls import reverse

from materials.models import Guesses
from tests import spared
from tests.service.office import PASSWORD, ada

pytestmark = pytest.mark.django_db

SAMPLES = int(os.environ.get("GAUGEROD_SIGN_INS", "24"))
SEED = int(os.environ.get("GAUGEROD_SEED", "0"))
MOST = 4.5
"""Welch's t beyond which two means differ, as leakage of secrets is judged.

Source: the TVLA threshold of Goodwill et al. 2011 (from memory).
"""
NAMES = {True: "ada", False: "eve"}


def refused(known: bool, address: str) -> tuple[float, float]:
    """Return the seconds by the clock and by the processor that one refusal takes."""
    Guesses.objects.all().delete()
    browser = Browser(REMOTE_ADDR=address)
    typed = {"username": NAMES[known], "password": "grout-haze-on-monday"}
    clock, work = time.perf_counter(), time.process_time()
    answer = browser.post(reverse("sign-in"), typed)
    took = time.perf_counter() - clock, time.process_time() - work
    assert answer.status_code == 200
    return took


def welch(one: list[float], other: list[float]) -> float:
    """Return Welch's t of two samples."""
    spread = variance(one) / len(one) + variance(other) / len(other)
    return (fmean(one) - fmean(other)) / spread**0.5


@pytest.fixture(autouse=True)
def hashed_as_in_use() -> Iterator[None]:
    spared.hash_at(spared.DEAR)
    yield
    spared.hash_at(spared.CHEAP)


def test_a_known_and_an_unknown_name_are_refused_in_the_same_time(
    capsys: pytest.CaptureFixture[str],
) -> None:
    person = ada()
    person.set_password(PASSWORD)
    person.save()
    order = [known for known in (True, False) for _ in range(SAMPLES // 2)]
    random.Random(SEED).shuffle(order)
    refused(True, "192.0.2.1"), refused(False, "192.0.2.1")
    seen: dict[bool, list[tuple[float, float]]] = {True: [], False: []}

    for known in order:
        seen[known].append(refused(known, "192.0.2.1"))

    told = {}
    for which, name in enumerate(("clock", "processor")):
        known, unknown = ([one[which] for one in seen[kind]] for kind in (True, False))
        told[name] = welch(known, unknown)
        with capsys.disabled():
            sys.stdout.write(
                f"\n{len(order):,} refusals by {name}: median {median(known):.6f} s "
                f"known, {median(unknown):.6f} s unknown; t = {told[name]:.2f}\n"
            )
    assert abs(told["clock"]) < MOST

"""Where a request came from."""

from __future__ import annotations

import pytest

from materials.core.addresses import client_address, neighbourhood

MINE, STRANGER, CLIENT = "10.0.0.1", "203.0.113.66", "192.0.2.7"


@pytest.mark.parametrize(
    ("remote", "forwarded", "proxies", "found"),
    [
        (CLIENT, "", 0, CLIENT),
        (CLIENT, STRANGER, 0, CLIENT),
        (MINE, CLIENT, 1, CLIENT),
        (MINE, f"{STRANGER}, {CLIENT}", 1, CLIENT),
        (MINE, f"{STRANGER}, {CLIENT}, {MINE}", 2, CLIENT),
        ("", CLIENT, 1, CLIENT),
        ("", "", 0, ""),
        (MINE, "", 1, ""),
        (MINE, CLIENT, 2, ""),
        (MINE, "nonsense", 1, ""),
        (MINE, "1.2.3.4\r\nX: y", 1, ""),
        (f"::ffff:{CLIENT}", "", 0, CLIENT),
        ("2001:DB8::1", "", 0, "2001:db8::1"),
    ],
)
def test_only_proxies_of_our_own_are_believed(
    remote: str, forwarded: str, proxies: int, found: str
) -> None:
    assert client_address(remote=remote, forwarded=forwarded, proxies=proxies) == found


@pytest.mark.parametrize(
    ("address", "place"),
    [
        (CLIENT, CLIENT),
        ("", ""),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("2001:db8:1:2:ffff::", "2001:db8:1:2::"),
        ("2001:db8:1:3::1", "2001:db8:1:3::"),
    ],
)
def test_a_long_address_counts_by_its_household(address: str, place: str) -> None:
    assert neighbourhood(address) == place

"""Where a request came from: proxies of our own are believed, nobody else."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv6Address, ip_address


def client_address(*, remote: str, forwarded: str, proxies: int) -> str:
    """Return the address of who asks, or "" where nothing trustworthy is said.

    `forwarded` is the header to which each proxy adds, at its end, whom it heard from.
    So behind one proxy of our own the last entry is true, behind two the last but one;
    what stands before it was written by whoever asked. Without a proxy the header is
    a stranger's claim and is not read.

    >>> client_address(remote="10.0.0.1", forwarded="1.1.1.1, 192.0.2.7", proxies=1)
    '192.0.2.7'
    >>> client_address(remote="192.0.2.9", forwarded="1.1.1.1", proxies=0)
    '192.0.2.9'
    """
    if proxies <= 0:
        return _plain(remote)
    entries = [part.strip() for part in forwarded.split(",")]
    return _plain(entries[-proxies]) if len(entries) >= proxies else ""


def neighbourhood(address: str) -> str:
    """Return what is counted as one place: the address, or the /64 of a long one.

    A household is given a whole /64 to choose its addresses from.

    >>> neighbourhood("2001:db8:7:1:aa::1") == neighbourhood("2001:db8:7:1::2")
    True
    """
    found = _read(address)
    if isinstance(found, IPv6Address):
        return str(IPv6Address(int(found) >> 64 << 64))
    return str(found) if found else ""


def _plain(text: str) -> str:
    found = _read(text)
    return str(found) if found else ""


def _read(text: str) -> IPv4Address | IPv6Address | None:
    try:
        found = ip_address(text.strip())
    except ValueError:
        return None
    if isinstance(found, IPv6Address) and found.ipv4_mapped:
        return found.ipv4_mapped
    return found

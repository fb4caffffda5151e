"""A device in plain words; browsers name themselves like this, from memory."""

from __future__ import annotations

import pytest

from materials.core.devices import kind_of, names_of

APPLE = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 "


@pytest.mark.parametrize(
    ("agent", "kind", "names"),
    [
        (APPLE + "Version/18.0 Mobile/15E148 Safari/604.1", "phone", "iPhone, Safari"),
        (APPLE + "CriOS/140.0 Mobile/15E148 Safari/604.1", "phone", "iPhone, Chrome"),
        ("Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/140.0 Mobile "
         "Safari/537.36", "phone", "Android, Chrome"),
        ("Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/140.0 "
         "Safari/537.36", "tablet", "Android, Chrome"),
        ("Mozilla/5.0 (iPad; CPU OS 18_0 like Mac OS X) Version/18.0 Mobile/15E148 "
         "Safari/604.1", "tablet", "iPad, Safari"),
        ("Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 Chrome/140.0 "
         "Safari/537.36 Edg/140.0", "computer", "Windows, Edge"),
        ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) Version/18.0 Safari/605.1",
         "computer", "macOS, Safari"),
        ("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0",
         "computer", "Linux, Firefox"),
        ("curl/8.5.0", "unknown", ""),
        ("", "unknown", ""),
        ("<script>alert(1)</script>", "unknown", ""),
    ],
)  # fmt: skip
def test_a_browser_says_what_it_runs_on(agent: str, kind: str, names: str) -> None:
    assert (kind_of(agent), names_of(agent)) == (kind, names)

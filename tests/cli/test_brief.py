"""`due --brief` for a status bar, `--exit-code` for cron."""

from __future__ import annotations

from typing import Any

import pytest

HEAD = 'name = "Damson"\ncapacity_l = 5.0\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'
PITCHED = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
LIVE = PITCHED + '{ at = 2026-03-05T18:00:00+01:00, did = "bottle", count = 4, size_ml = 750, override = "a test" }\n'


@pytest.fixture
def damson(cellar: Any) -> Any:
    return lambda page: cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": page})


def test_one_line_says_how_much_and_what_first(damson: Any, fermtui: Any) -> None:
    damson(PITCHED)
    ran = fermtui("due", "--brief", "--on", "2026-03-03T19:00:00+01:00")
    (line,) = ran.out.splitlines()
    assert ran.err == ""
    assert line.split("; ")[0].startswith(("1 late", "2 late", "1 due", "2 due"))
    assert "; Damson: " in line


@pytest.mark.parametrize(
    ("page", "on", "status"),
    [
        (PITCHED, "2026-03-01T19:00:00+01:00", 0),
        (PITCHED, "2026-03-20T19:00:00+01:00", 4),  # doses are late
        (LIVE, "2026-03-06T19:00:00+01:00", 4),  # live bottles stand against it
    ],
)
def test_the_exit_status_tells_whether_something_is_late(
    damson: Any, fermtui: Any, page: str, on: str, status: int
) -> None:
    damson(page)
    for more in ((), ("--brief",), ("--json",)):
        assert fermtui("due", "--exit-code", *more, "--on", on).status == status
        assert fermtui("due", *more, "--on", on).status == 0


def test_nothing_due_is_said(cellar: Any, fermtui: Any) -> None:
    cellar({})
    assert fermtui("due", "--brief", "--exit-code").out == "nothing is due\n"
    assert fermtui("due", "--brief", "--json").status == 2

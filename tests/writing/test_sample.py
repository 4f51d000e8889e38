"""A copy of the sample cellar whose story happens now."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.daybook.lines import read_lines
from fermtui.writing.sample import STORY_DAY, copy_shifted, sample_path, sample_zone, shifted

BERLIN = ZoneInfo("Europe/Berlin")
PAGE = """\
# kept by hand, 2026-03-18
20260318T181500123-k3f9x2 = { at = 2026-03-18T19:15:00+01:00, did = "read", sg = 1.0480, temp_c = 19.5 }
20260318T181702044-7vmeq1 = { at = 2026-03-18T19:17:00.250+01:00, did = "strike", entry = "20260318T181500123-k3f9x2" }
hand-made = { at = 2026-03-18T18:00:00Z, did = "postpone", task = "rack-1", until = 2026-04-01, reason = "2026-05-01" }
"""


def moved(text: str, days: int) -> str:
    return shifted(text, timedelta(days=days), BERLIN, keys=True)


def test_dates_instants_and_keys_move_and_nothing_else() -> None:
    assert moved(PAGE, 100) == """\
# kept by hand, 2026-03-18
20260626T171500123-k3f9x2 = { at = 2026-06-26T19:15:00+02:00, did = "read", sg = 1.0480, temp_c = 19.5 }
20260626T171702044-7vmeq1 = { at = 2026-06-26T19:17:00.250+02:00, did = "strike", entry = "20260626T171500123-k3f9x2" }
hand-made = { at = 2026-06-26T19:00:00+02:00, did = "postpone", task = "rack-1", until = 2026-07-10, reason = "2026-05-01" }
"""  # noqa: E501 - a line of a daybook is one line


def test_by_no_days_nothing_moves() -> None:
    page = PAGE.replace("2026-03-18T18:00:00Z", "2026-03-18T19:00:00+01:00")
    assert moved(page, 0) == page


def test_a_key_that_says_no_time_stays() -> None:
    page = '20260318T187500123-k3f9x2 = { at = 2026-03-18T19:15:00+01:00, did = "punch" }'
    assert moved(page, 1) == page.replace("2026-03-18T", "2026-03-19T")


def test_heads_and_settings_move_too() -> None:
    text = "[stock]\ncounted = 2026-03-10   # on a Tuesday\nsize_ml = 750\n[[step]]\ndue = { on = 2026-12-24 }\n"
    assert shifted(text, timedelta(days=365), BERLIN, keys=False) == (
        "[stock]\ncounted = 2027-03-10   # on a Tuesday\nsize_ml = 750\n[[step]]\ndue = { on = 2027-12-24 }\n"
    )


@settings(deadline=None)
@given(st.integers(-3000, 30_000), st.integers(0, 2 * 365 * 86_400))
def test_the_hands_of_the_clock_stay_where_they_are(days: int, seconds: int) -> None:
    at = (datetime(2025, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds)).astimezone(BERLIN)
    line = f'k1 = {{ at = {at.isoformat()}, did = "punch" }}'
    (entry,), problems = read_lines(moved(line, days).encode(), "daybook.toml")
    assert not problems
    then = entry.at.astimezone(BERLIN)
    expected = at.replace(tzinfo=None) + timedelta(days=days)
    # In the hour that is left out in spring the clock jumps on.
    assert then.replace(tzinfo=None) - expected in (timedelta(0), timedelta(hours=1))


def test_the_copy_is_whole(tmp_path: Path) -> None:
    source, target = sample_path(), tmp_path / "deep" / "demo"
    copy_shifted(source, target, date(2026, 7, 1))
    names = sorted(path.relative_to(source) for path in source.rglob("*"))
    assert sorted(path.relative_to(target) for path in target.rglob("*")) == names
    assert (target / ".gitattributes").read_bytes() == (source / ".gitattributes").read_bytes()
    stamp = re.compile(rb"\d{4}-\d\d-\d\d(?:T\d\d:\d\d:\d\d[+]\d\d:\d\d)?|\d{8}T\d{9}")
    for path in source.rglob("*.toml"):
        before, after = path.read_bytes(), (target / path.relative_to(source)).read_bytes()
        assert stamp.sub(b"", before) == stamp.sub(b"", after)


def test_on_its_own_day_the_copy_is_the_sample(tmp_path: Path) -> None:
    copy_shifted(sample_path(), tmp_path / "demo", STORY_DAY)
    for path in sample_path().rglob("*.toml"):
        assert (tmp_path / "demo" / path.relative_to(sample_path())).read_bytes() == path.read_bytes()


def test_a_file_that_is_there_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "cellar.toml").write_text("mine\n")
    with pytest.raises(FileExistsError):
        copy_shifted(sample_path(), tmp_path, date(2026, 7, 1))
    assert (tmp_path / "cellar.toml").read_text() == "mine\n"


def test_its_zone() -> None:
    assert str(sample_zone(sample_path())) == "Europe/Berlin"

"""`bottles` and `past`: what is left to drink, until when, and what it was worth."""

from __future__ import annotations

from typing import Any

import pytest

BATCH = """
{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
{ at = 2026-01-10T10:20:00+01:00, did = "pitch" }
{ at = 2026-03-10T10:20:00+01:00, did = "read", sg = 0.998, temp_c = 20 }
{ at = 2026-04-10T10:20:00+01:00, did = "bottle", count = 5, size_ml = 750, closure = "synthetic", override = "test" }
"""
OPENED = '{ at = 2026-05-10T18:00:00+02:00, did = "open", count = 2, why = "drunk" }\n'
TASTED = """
{ at = 2026-05-10T19:00:00+02:00, did = "taste", score = 13 }
{ at = 2026-06-10T19:00:00+02:00, did = "taste", score = 15, taste = "round" }
"""
HEAD = 'name = "{}"\ncapacity_l = 5.0\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'


@pytest.fixture
def bottled(cellar: Any) -> None:
    pages: dict[str, str] = {}
    for place, name, book in (
        ("vessels", "rowan", BATCH + OPENED + TASTED),
        ("vessels", "damson", BATCH[: BATCH.index("{ at = 2026-04-10")]),  # nothing bottled yet
        ("past", "sloe", BATCH),
        ("past", "quince", BATCH + OPENED.replace("count = 2", "count = 5")),
    ):
        pages |= {f"{place}/{name}/vessel.toml": HEAD.format(name.title()), f"{place}/{name}/daybook.toml": book}
    cellar(pages)


@pytest.mark.usefixtures("bottled")
def test_bottles_lists_what_is_left_at_work_and_put_away(fermtui: Any) -> None:
    lines = fermtui("bottles", "--on", "2026-07-01").out.splitlines()
    assert lines[0] == "Sloe: 5 bottles left, not tasted"
    assert lines[2] == "Rowan: 3 bottles left, 14.0 of 20 in 2 tastings"
    # Synthetic closures: from one year on, common practice, no source (tables/closures.csv).
    assert lines[3] == "  rowan-20260410  3 of 5 left, 750 mL, synthetic, drink by 2027-04-10"
    assert "Quince" not in "\n".join(lines)


@pytest.mark.usefixtures("bottled")
def test_past_lists_what_was_put_away(fermtui: Any) -> None:
    lines = fermtui("past", "--on", "2026-07-01").out.splitlines()
    assert [line.split()[0] for line in lines] == ["sloe", "quince"]
    assert "pitched 2026-01-10" in lines[0]
    assert "% vol" in lines[0]
    assert lines[1].endswith("no bottles left, not tasted")


@pytest.mark.usefixtures("bottled")
def test_scripts_get_the_same(fermtui: Any) -> None:
    batches = fermtui("bottles", "--json", "--on", "2026-07-01").json["batches"]
    (rowan,) = [one for one in batches if not one["put_away"]]
    assert (rowan["vessel"], rowan["bottles_left"], rowan["scores"], rowan["score_mean"]) == ("rowan", 3, [13, 15], 14)
    assert (rowan["lots"][0]["opened"], rowan["lots"][0]["drink_by"]) == (2, "2027-04-10")
    past = fermtui("past", "--json", "--on", "2026-07-01").json["vessels"]
    assert [one["vessel"] for one in past] == ["sloe", "quince"]


def test_an_empty_cellar_says_so(cellar: Any, fermtui: Any) -> None:
    cellar({})
    assert fermtui("bottles").out == "no bottle is left\n"
    assert fermtui("past").out == "no vessel has been put away\n"
    assert fermtui("past", "rowan").status == 2

"""Every row of the list can be ended, and nothing stands in it that cannot be done."""

from __future__ import annotations

from typing import Any

HEAD = 'name = "Quince"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.2\ngravity = 1.095\n'
STARTED = {"vessels/quince/vessel.toml": HEAD, "vessels/quince/daybook.toml": ""}


def rows(fermtui: Any, on: str, *more: str) -> list[str]:
    ran = fermtui("due", "--on", on, *more)
    assert ran.status == 0
    return [line for line in ran.out.splitlines()[1:] if line.strip()]


def test_a_must_that_is_still_to_be_mixed_is_one_row(cellar: Any, fermtui: Any) -> None:
    cellar(STARTED)
    for on in ("2026-03-01", "2026-03-20"):
        (row,) = rows(fermtui, on, "--days", "14")
        assert "mix the must" in row
    assert fermtui("write", "quince", "mix", "volume_l=4.2", "honey_g=1200", "--at", "2026-03-20").status == 0
    assert len(rows(fermtui, "2026-03-20")) > 3, "from then on its dates are real"


def test_the_rest_of_a_bottling_ends_with_a_skip_and_comes_back_with_its_strike(cellar: Any, fermtui: Any) -> None:
    page = """
        { at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.2 }
        { at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
        { at = 2026-01-10T10:20:00+01:00, did = "pitch" }
        { at = 2026-03-01T10:00:00+01:00, did = "bottle", count = 3, size_ml = 750, left_l = 1.5 }
    """
    cellar({**STARTED, "vessels/quince/daybook.toml": page})
    assert any("bottle-rest" in row for row in rows(fermtui, "2026-03-02"))
    assert fermtui("write", "quince", "skip", "task=bottle-rest", "--at", "2026-03-02").status == 0
    assert not any("bottle-rest" in row for row in rows(fermtui, "2026-03-20"))
    assert fermtui("show", "quince", "--on", "2026-03-20", "--json").json["stage"] == "bottled"
    assert fermtui("strike", "quince", "--on", "2026-03-03").status == 0
    assert any("bottle-rest" in row for row in rows(fermtui, "2026-03-20"))
    again = fermtui("write", "quince", "bottle", "count=2", "size_ml=750", "rest=eaten", "--at", "2026-03-02")
    assert (again.status, "drunk" in again.err) == (1, True), "what became of a rest is said in one of three words"


CONTAINERS = """
timezone = "Europe/Vienna"
[[container]]
name = "Demijohn 1"
capacity_l = 5.0
"""
DRY = """
    { at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.2 }
    { at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
    { at = 2026-01-10T10:20:00+01:00, did = "pitch" }
    { at = 2026-02-20T10:00:00+01:00, did = "read", sg = 0.998, temp_c = 20 }
"""
IN_ONE = HEAD.replace("\nschedule", '\ncontainer = "Demijohn 1"\nschedule')
TWO = {
    "cellar.toml": CONTAINERS,
    "vessels/quince/vessel.toml": IN_ONE,
    "vessels/quince/daybook.toml": DRY,
    "vessels/rowan/vessel.toml": HEAD.replace("Quince", "Rowan"),
    "vessels/rowan/daybook.toml": DRY,
}


def free_l(fermtui: Any, vessel: str) -> float:
    return float(fermtui("show", vessel, "--on", "2026-03-02", "--json").json["headspace_l"])


def test_a_racking_goes_into_a_plain_size_or_a_new_container_with_its_size(cellar: Any, fermtui: Any) -> None:
    cellar(TWO)
    racked = ("write", "quince", "rack", "volume_l=3.9", "--at", "2026-03-01")
    assert fermtui(*racked, "into=4 L").status == 0
    assert abs(free_l(fermtui, "quince") - 0.1) < 0.01
    unknown = fermtui(*racked, "into=Balloon")
    assert (unknown.status, "'Balloon, 5 L'" in unknown.err) == (1, True)
    assert fermtui(*racked, "into=Demijohn 1, 4 L").status == 1, "cellar.toml says 5 L"
    assert fermtui(*racked, "into=Balloon, 3 L").status == 1, "3.9 L do not go into it"
    assert fermtui(*racked, "into=Balloon, 4.5 L").status == 0
    assert abs(free_l(fermtui, "quince") - 0.6) < 0.01
    taken = fermtui("write", "rowan", "rack", "volume_l=3.9", "into=Balloon", "--at", "2026-03-01")
    assert (taken.status, "taken by another" in taken.err) == (1, True), "it is known by its name now"
    assert fermtui("write", "rowan", "rack", "volume_l=3.9", "into=4 L", "--at", "2026-03-01").status == 0
    assert fermtui("check").status == 0, "there may be two of a plain size"
    assert fermtui("write", "quince", "empty", "--at", "2026-03-01").status == 0
    assert fermtui("write", "rowan", "rack", "volume_l=3.9", "into=Balloon", "--at", "2026-03-01").status == 0
    assert abs(free_l(fermtui, "rowan") - 0.6) < 0.01


def test_check_says_which_two_stand_in_one_container(cellar: Any, fermtui: Any) -> None:
    cellar({**TWO, "vessels/rowan/vessel.toml": IN_ONE.replace("Quince", "Rowan")})
    ran = fermtui("check")
    assert ran.status == 1
    assert "vessels/rowan: it stands in Demijohn 1, and so does quince" in ran.out
    assert "vessels/quince: it stands in Demijohn 1, and so does rowan" in ran.out
    assert fermtui("check", "rowan").out.count("Demijohn 1") == 1
    assert fermtui("write", "rowan", "rack", "volume_l=3.9", "into=4 L", "--at", "2026-03-01").status == 0
    assert fermtui("check").status == 0


def test_undo_and_redo_go_through_the_whole_cellar_or_one_vessel(cellar: Any, fermtui: Any) -> None:
    cellar(TWO)
    assert fermtui("write", "quince", "note", "text=tart", "--at", "2026-03-01").status == 0
    assert fermtui("write", "rowan", "note", "text=dull", "--at", "2026-03-01").status == 0
    assert "rowan: took back 'note dull'" in (ran := fermtui("undo")).out, ran
    assert "quince: took back 'note tart'" in fermtui("undo").out
    assert "so it stands again: 'note tart'" in fermtui("redo").out
    assert fermtui("redo", "rowan").status == 0
    assert (ran := fermtui("redo")).status == 1
    assert "nothing was taken back" in ran.err
    assert "'note tart'" in fermtui("undo", "quince").out, "redo of one vessel leaves the other alone"
    assert fermtui("undo", "nobody").status == 1
    assert fermtui("undo", "quince", "rowan").status == 2


def test_after_a_feed_a_forecast_still_counts_the_readings_before_it(cellar: Any, fermtui: Any) -> None:
    page = DRY.replace("2026-02-20T10:00:00+01:00", "2026-01-12T10:00:00+01:00").replace("0.998", "1.070")
    for day, sg in ((14, 1.060), (16, 1.050), (18, 1.042), (20, 1.034), (22, 1.028)):
        page += f'{{ at = 2026-01-{day}T10:00:00+01:00, did = "read", sg = {sg:.3f}, temp_c = 20 }}\n'
    page += '{ at = 2026-01-23T10:00:00+01:00, did = "feed", honey_g = 400 }\n'
    head = HEAD.replace("two-doses", "strong-step-fed").replace("1.095", "1.080")
    cellar({"vessels/quince/vessel.toml": head, "vessels/quince/daybook.toml": page})
    ran = fermtui("show", "quince", "--on", "2026-01-24")
    assert ran.status == 0
    assert "from no reading yet" not in ran.out
    assert "from six readings" in ran.out, ran.out

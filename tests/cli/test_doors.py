"""A guard stands at every door: tick and write alike, with a typed reason or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

HEAD = 'name = "Damson"\ncapacity_l = 5.0\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09'
BEGUN = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
RUNNING = BEGUN + '{ at = 2026-03-20T18:30:00+01:00, did = "read", sg = 1.030, temp_c = 20 }\n'
READY = (
    BEGUN
    + """
{ at = 2026-04-01T18:00:00+02:00, did = "rack", volume_l = 3.9, task = "rack-1" }
{ at = 2026-04-08T18:00:00+02:00, did = "read", sg = 0.998, temp_c = 20 }
{ at = 2026-04-22T18:00:00+02:00, did = "read", sg = 0.998, temp_c = 20 }
{ at = 2026-05-09T18:00:00+02:00, did = "read", sg = 0.998, temp_c = 20 }
"""
)
BOTTLES = ("count=4", "size_ml=750", "closure=screw_cap")
DOORS = [("write", "damson", "bottle", *BOTTLES), ("tick", "damson", "bottle", *BOTTLES)]


@pytest.fixture
def page(cellar: Any) -> Any:
    def made(text: str) -> Path:
        folder: Path = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": text})
        return folder / "vessels/damson/daybook.toml"

    return made


@pytest.mark.parametrize("door", DOORS, ids=["write", "tick"])
def test_an_unstable_mead_is_not_bottled(page: Any, fermtui: Any, door: tuple[str, ...]) -> None:
    path = page(RUNNING)
    before = path.read_bytes()
    for reason in ((), ("override=",), ("override=   ",), ("--override", ""), ("--override", "\t")):
        ran = fermtui(*door, *reason, "--on", "2026-03-21")
        assert ran.status == 3, reason
        assert "bar" in ran.err  # the pressure that it could make
        assert "three readings" in ran.err  # what would lift it
        assert path.read_bytes() == before
    ran = fermtui(*door, "override=going into a keg tonight", "--on", "2026-03-21")
    assert (ran.status, "bottled" in ran.out) == (0, True)
    assert 'override = "going into a keg tonight"' in path.read_text()
    assert "in spite of a guard: going into a keg tonight" in fermtui("show", "damson", "--on", "2026-03-22").out
    entries = fermtui("show", "damson", "--on", "2026-03-22", "--json").json["entries"]
    assert entries[-1]["override"] == "going into a keg tonight"


@pytest.mark.parametrize("door", DOORS, ids=["write", "tick"])
def test_a_stable_dry_mead_is(page: Any, fermtui: Any, door: tuple[str, ...]) -> None:
    path = page(READY)
    ran = fermtui(*door, "--on", "2026-05-10")
    assert ran.status == 0, ran.err
    assert 'did = "bottle"' in path.read_text()
    assert fermtui("show", "damson", "--on", "2026-05-11", "--json").json["stage"] in ("bottled", "ageing")


@pytest.mark.parametrize("door", DOORS, ids=["write", "tick"])
def test_the_caution_stands_beside_the_act(page: Any, fermtui: Any, door: tuple[str, ...]) -> None:
    page(READY)
    err = fermtui(*door, "--on", "2026-05-10").err
    assert "glass" in err or "bottle" in err


def test_due_says_what_stands_in_the_way(page: Any, fermtui: Any) -> None:
    page(
        RUNNING
        + """
    { at = 2026-04-01T18:00:00+02:00, did = "rack", volume_l = 3.9, task = "rack-1" }
    { at = 2026-05-01T18:00:00+02:00, did = "skip", task = "look" }
    { at = 2026-05-01T18:00:00+02:00, did = "skip", task = "rack-2" }
    { at = 2026-05-29T18:00:00+02:00, did = "read", sg = 1.0240, temp_c = 20 }
    { at = 2026-06-02T18:00:00+02:00, did = "read", sg = 1.0240, temp_c = 20 }
    { at = 2026-06-06T18:00:00+02:00, did = "read", sg = 1.0240, temp_c = 20 }
    """
    )
    tasks = {t["task"]: t for t in fermtui("due", "--json", "--on", "2026-06-07").json["tasks"]}
    assert tasks["bottle"]["state"] in ("waiting", "coming"), "what a guard would refuse is not due"
    assert "1.024" in tasks["bottle"]["guard"]  # stable, and not at its end: stalled
    assert "1.024" in tasks["bottle"]["why"]


@pytest.mark.parametrize(
    ("door", "says"),
    [
        (("write", "damson", "bottle", "count=40", "size_ml=750"), "more than the"),
        (("write", "damson", "bottle", "count=-4", "size_ml=750"), "count"),
        (("write", "damson", "bottle", "count=0", "size_ml=750"), "count"),
        (("write", "damson", "bottle", "count=1.5", "size_ml=750"), "whole number"),
        (("write", "damson", "rack", "into=Nowhere"), "cellar.toml"),
        (("write", "damson", "rack", "volume_l=9"), "more than"),
        (("write", "damson", "split", "into=half", "volume_l=9"), "more than"),
        (("write", "damson", "split", "into=damson", "volume_l=1"), "itself"),
        (("write", "damson", "top_up", "from=damson", "volume_l=1"), "itself"),
        (("write", "damson", "pull", "what=fruit"), "fruit"),
        (("write", "damson", "open"), "bottle"),
        (("write", "damson", "read", "sg=1.02", "sample_ml=4900"), "more than"),
    ],
    ids=lambda value: " ".join(value[2:4]) if isinstance(value, tuple) else "",
)
def test_what_cannot_be_is_refused_whatever_the_reason(
    page: Any, fermtui: Any, door: tuple[str, ...], says: str
) -> None:
    path = page(RUNNING)
    before = path.read_bytes()
    for reason in ((), ("override=I know",)):
        ran = fermtui(*door, *reason, "--on", "2026-03-21")
        assert (ran.status, says in ran.err) == (1, True), ran.err
        assert ran.err.count("\n") == 1
        assert path.read_bytes() == before
        assert sorted(one.name for one in path.parents[1].iterdir()) == ["damson"]


def test_racking_into_a_container_that_is_taken_full_or_free(cellar: Any, fermtui: Any) -> None:
    containers = "".join(
        f'[[container]]\nname = "{name}"\ncapacity_l = {size}\n'
        for name, size in (("Jar", 3), ("Demijohn", 5), ("Bucket", 12))
    )
    cellar({
        "cellar.toml": f'timezone = "Europe/Vienna"\n{containers}',
        "vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": RUNNING,
        "vessels/rowan/vessel.toml": 'name = "Rowan"\ncontainer = "Bucket"',
        "vessels/rowan/daybook.toml": '{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }',
    })  # fmt: skip
    for into, says in (("Bucket", "Bucket"), ("Jar", "Jar")):
        ran = fermtui("write", "damson", "rack", f"into={into}", "volume_l=3.8", "--on", "2026-03-25")
        assert (ran.status, says in ran.err) == (1, True)
        assert "Demijohn" in ran.err  # the one that is free and large enough
    assert fermtui("write", "damson", "rack", "into=Demijohn", "volume_l=3.8", "--on", "2026-03-25").status == 0
    seen = fermtui("show", "damson", "--on", "2026-03-26", "--json").json
    assert (seen["container"], seen["headspace_l"]) == ("Demijohn", pytest.approx(1.2, abs=0.01))


def test_a_bottled_vessel_takes_no_fruit(page: Any, fermtui: Any) -> None:
    page(READY + '{ at = 2026-05-10T18:00:00+02:00, did = "bottle", count = 5, size_ml = 750 }')
    ran = fermtui("write", "damson", "fruit", "kind=plum", "mass_g=500", "--on", "2026-05-12")
    assert ran.status == 1

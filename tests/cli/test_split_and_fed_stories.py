"""Two stories as a maker writes them: a must that is split, and a step-fed one that sticks or never starts."""

from __future__ import annotations

from typing import Any

import pytest

HEAD = 'name = "{name}"\ncapacity_l = 10.0\nschedule = "{schedule}"\n[plan]\nvolume_l = {volume}\ngravity = {og}\n'
BEGUN = """
{{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = {volume}, honey_g = {honey} }}
{{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = {og}, temp_c = 20 }}
{{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }}
"""
LEFT_OUT = """
{ at = 2026-03-02T18:00:00+01:00, did = "skip", task = "dose-1", reason = "none in the house" }
{ at = 2026-03-05T18:00:00+01:00, did = "skip", task = "dose-2", reason = "none in the house" }
{ at = 2026-03-06T18:00:00+01:00, did = "read", sg = 1.060, temp_c = 20, ph = 3.6 }
"""


def reading(day: str, sg: float) -> str:
    return f'{{ at = 2026-{day}T18:00:00+01:00, did = "read", sg = {sg}, temp_c = 20 }}\n'


@pytest.fixture
def vessel(cellar: Any) -> Any:
    def made(name: str, schedule: str, og: float, book: str, volume: float = 4.0, honey: int = 1130) -> None:
        head = HEAD.format(name=name.title(), schedule=schedule, volume=volume, og=og)
        begun = BEGUN.format(volume=volume, honey=honey, og=og)
        cellar({f"vessels/{name}/vessel.toml": head, f"vessels/{name}/daybook.toml": begun + book})

    return made


def tasks(fermtui: Any, on: str, vessel: str) -> dict[str, dict[str, Any]]:
    ran = fermtui("due", "--json", "--on", f"{on}T20:00:00+01:00")
    assert ran.status == 0, ran.err
    return {task["task"]: task for task in ran.json["tasks"] if task["vessel"] == vessel}


def open_acts(fermtui: Any, on: str, vessel: str) -> list[str]:
    return [key for key, task in tasks(fermtui, on, vessel).items() if task["state"] in ("due", "late")]


def test_of_a_split_the_child_keeps_what_the_parent_did_and_left_out(vessel: Any, fermtui: Any) -> None:
    vessel("rowan", "two-doses", 1.090, LEFT_OUT, volume=8.0, honey=2260)
    assert "dose-1" not in open_acts(fermtui, "2026-03-07", "rowan")
    ran = fermtui("write", "rowan", "split", "into=half", "volume_l=3", "--on", "2026-03-07T19:00:00+01:00")
    assert ran.status == 0, ran.err
    child = tasks(fermtui, "2026-03-07", "half")
    assert not {"mix", "pitch", "dose-1", "dose-2", "aerate"} & set(open_acts(fermtui, "2026-03-08", "half"))
    assert child["rack-1"]["state"] in ("waiting", "coming")
    shown = fermtui("show", "half", "--json", "--on", "2026-03-08").json
    assert (shown["day"], shown["volume_l"]) == (7, pytest.approx(3.0, abs=0.01))
    parent = fermtui("show", "rowan", "--json", "--on", "2026-03-08").json
    assert shown["abv_percent"] == pytest.approx(parent["abv_percent"], abs=0.05)
    # Each goes its own way from here: a reading of the one is none of the other.
    assert fermtui("read", "half", "1.010 20C", "--on", "2026-03-20", "override=fast one").status == 0
    assert fermtui("show", "rowan", "--json", "--on", "2026-03-21").json["readings"][-1]["sg"] > 1.05


def test_a_fed_must_that_sticks_is_looked_at_and_neither_racked_nor_fed(vessel: Any, fermtui: Any) -> None:
    stuck = "".join(reading(day, sg) for day, sg in (
        ("03-04", 1.100), ("03-08", 1.080), ("03-12", 1.065), ("03-16", 1.061), ("03-20", 1.060), ("03-24", 1.060),
        ("03-28", 1.060), ("04-02", 1.060),
    ))  # fmt: skip
    vessel("rowan", "strong-step-fed", 1.115, stuck, honey=1450)
    ran = fermtui("due", "--json", "--on", "2026-04-03")
    (trouble,) = ran.json["troubles"]
    assert (trouble["vessel"], trouble["kind"]) == ("rowan", "stalled")
    first = next(task for task in ran.json["tasks"] if task["state"] in ("late", "due"))
    assert first["task"] == trouble["task"]
    acts = open_acts(fermtui, "2026-04-03", "rowan")
    assert not [key for key in acts if key.startswith(("rack", "feed", "bottle", "sulfite"))]
    # The maker takes it for its end; then the racking may come, and the bottle still wants proof or keeping.
    assert fermtui("tick", "rowan", trouble["task"], "--on", "2026-04-03").status == 0
    ran = fermtui("write", "rowan", "end", "sg=1.060", "reason=left as a dessert mead", "--on", "2026-04-03")
    assert ran.status == 0, ran.err
    later = tasks(fermtui, "2026-04-04", "rowan")
    assert any(key.startswith("rack") and task["state"] in ("due", "late", "coming") for key, task in later.items())
    assert fermtui("due", "--json", "--on", "2026-04-04").json["troubles"] == []
    refused = fermtui("write", "rowan", "bottle", "count=4", "size_ml=750", "--on", "2026-04-04")
    assert refused.status == 3


def test_a_fed_must_that_never_started_is_not_taken_for_calm(vessel: Any, fermtui: Any) -> None:
    still = "".join(reading(day, 1.115) for day in ("03-03", "03-06", "03-10", "03-14"))
    vessel("rowan", "strong-step-fed", 1.115, still, honey=1450)
    ran = fermtui("due", "--json", "--on", "2026-03-15")
    assert [one["kind"] for one in ran.json["troubles"]] == ["not started"]
    acts = open_acts(fermtui, "2026-03-15", "rowan")
    assert not [key for key in acts if key.startswith(("rack", "feed", "bottle"))]

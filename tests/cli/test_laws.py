"""Whatever is called in whatever order: no traceback, and every refusal leaves the files as they were."""

from __future__ import annotations

import io
import json
import os
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from datetime import datetime, timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from fermtui.cli.main import run

pytestmark = pytest.mark.slow

BEGIN = datetime.fromisoformat("2026-03-01T18:00:00+01:00")
SETTINGS = 'timezone = "Europe/Vienna"\n[[container]]\nname = "Jar"\ncapacity_l = 5.0\n'
VESSELS = ("damson", "half", "rowan")
NUMBERS = st.sampled_from(["0", "1", "2.5", "-1", "0,5", "4000", "1e3", "abc", "", "1lb", "70F", "1.05", "1050"])
SIMPLE = st.sampled_from([
    "mix volume_l=4 honey_g=1100", "pitch", "pitch temp_c=35", "dose dap_g=1", "dose autolysate_g=2 task=dose-1",
    "aerate", "degas", "punch", "fruit kind=plum mass_g=400", "fruit kind=unicorn mass_g=1", "pull what=fruit",
    "feed honey_g=200", "rack volume_l=3", "rack into=Jar", "rack into=Nowhere", "top_up with=water volume_l=0.2",
    "level volume_l=3", "heat temp_c=60 hours=1", "chill temp_c=3", "sulfite metabisulfite_g=0.3 ph=3.4",
    "sorbate sorbate_g=0.6 ph=3.4", "sweeten honey_g=100", "bottle count=3 size_ml=750",
    "bottle count=3 size_ml=750 priming_g=9 glass=still", "taste score=15 taste=fine", "open", "open why=burst",
    "note text=hm", "chore what=look", "skip task=dose-2", "postpone task=dose-2 until=+3", "empty",
    "add what=honey mass_g=200", "add what=oak",
])  # fmt: skip


@st.composite
def calls(draw: st.DrawFn) -> list[str]:
    vessel = draw(st.sampled_from(VESSELS))
    other = draw(st.sampled_from(VESSELS))
    reason = draw(st.sampled_from([[], [], ["override=because"], ["override="]]))
    kind = draw(st.integers(0, 8))
    if kind == 0:
        sg = draw(st.sampled_from(["1.090", "1.060", "1.030", "0.998", "1.998", "8bx", "pH 3.4", "1.05 20", "x"]))
        return ["read", vessel, sg, *reason]
    if kind == 1:
        step = draw(st.sampled_from(["mix", "og", "pitch", "dose-1", "dose-2", "aerate", "rack-1", "bottle"]))
        return ["tick", vessel, step, *reason]
    if kind == 2:
        return ["strike", vessel]
    if kind == 3:
        return ["write", vessel, "split", f"into={other}", f"volume_l={draw(NUMBERS)}", *reason]
    if kind == 4:
        return ["write", vessel, "top_up", f"from={other}", f"volume_l={draw(NUMBERS)}", *reason]
    if kind == 5:
        field = draw(st.sampled_from(["sg", "dap_g", "count", "size_ml", "volume_l", "until", "temp_c", "score"]))
        did = draw(st.sampled_from(["read", "dose", "bottle", "rack", "level", "postpone", "wobble", "receive"]))
        return ["write", vessel, did, f"{field}={draw(NUMBERS)}", *reason]
    if kind == 6:
        return ["start", draw(st.sampled_from(["Damson", "Rowan"])), "--volume", draw(NUMBERS), "--gravity", "1.09"]
    return ["write", vessel, *draw(SIMPLE).split(" "), *reason]


def files(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in folder.rglob("*") if p.is_file() and p.name != ".lock"}


def called(folder: Path, words: list[str]) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = run(["--cellar", str(folder), *words])
    return status, out.getvalue(), err.getvalue()


BY_READINGS = {"stalled", "not started", "slow", "rising", "too warm"}


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(calls(), st.integers(0, 14 * 24)), min_size=3, max_size=14))
@example([(["strike", "damson"], 0), (["tick", "damson", "bottle", "override=because"], 0)])
@example([
    (["write", "damson", "split", "into=half", "volume_l=2.5"], 0),
    (["write", "half", "bottle", "count=3", "size_ml=750", "override=because"], 0),
])
def test_any_row_of_commands(rows: list[tuple[list[str], int]]) -> None:
    with tempfile.TemporaryDirectory() as name, patch.dict(os.environ, {"FERMTUI_CACHE": name}):
        folder = Path(name) / "cellar"
        (folder / "vessels").mkdir(parents=True)
        (folder / "cellar.toml").write_text(SETTINGS)
        plan = ["--volume", "4L", "--gravity", "1.09", "--container", "Jar"]
        begun = (["start", "Damson", *plan], ["tick", "damson", "mix"], ["tick", "damson", "og", "sg=1.090"],
                 ["tick", "damson", "pitch"], ["start", "Rowan", *plan[:4]], ["write", "rowan", "pitch"])  # fmt: skip
        for words in begun:
            assert called(folder, [*words, "--on", BEGIN.isoformat()])[0] == 0
        clock = BEGIN
        for words, hours in rows:
            clock += timedelta(hours=hours)
            before = files(folder)
            status, out, err = called(folder, [*words, "--on", clock.isoformat()])
            assert status in (0, 1, 2, 3)
            if status:
                assert files(folder) == before, words
                assert out == ""
                assert err.startswith("fermtui: ")
            else:
                assert all(old == files(folder)[path][: len(old)] for path, old in before.items())  # only added to
        later = ["--on", (clock + timedelta(days=30)).isoformat()]
        for words in (["due", "--json"], ["show", "--json"], ["due"], ["show"], ["show", "damson"]):
            status, out, err = called(folder, [*words, *later])
            assert (status, err) == (0, ""), (words, out, err)
        # Bottles that may burst stay at check until they are gone: as many lines as due has troubles, and no other.
        found = json.loads(called(folder, ["due", "--json", *later])[1])["troubles"]
        troubles = [one for one in found if one["kind"] not in BY_READINGS]  # what ails a ferment is no fault of a file
        status, out, err = called(folder, ["check", *later])
        assert (status, err) == (1 if troubles else 0, ""), (out, err)
        assert out.count("/daybook.toml, line") == len(troubles), out
        assert called(folder, ["show", "--json", *later])[1] == called(folder, ["show", "--json", *later])[1]

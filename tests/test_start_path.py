"""What a start must not wait for. No clock in it: only which modules are there."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fermtui.writing.sample import sample_path

# Entries as structs, the replay, the model of the forecast and everything that only writes.
NOT_WARM = (
    "fermtui.daybook.lines", "fermtui.replay.replay", "fermtui.replay.state",
    "fermtui.forecast.posterior", "fermtui.forecast.priors", "fermtui.writing.entries",
    "fermtui.writing.planning", "tomli_w", "filelock",
    "icalendar", "textual", "rich", "dataclasses", "tomllib", "fermtui.schedule.consistency",
)  # fmt: skip
NOT_FIRST = (
    "fermtui.cellar.store", "fermtui.schedule.tasks", "fermtui.writing.entries", "fermtui.daybook.kinds",
    "fermtui.must.composition",
    "fermtui.forecast.posterior", "fermtui.tui.screens.vessel_screen", "fermtui.tui.screens.bench",
    "fermtui.tui.screens.new_vessel_screen",
    "fermtui.bench.table", "icalendar", "filelock", "tomli_w",
)  # fmt: skip


def loaded_after(code: str, cache: Path) -> set[str]:
    """The modules that stand in a fresh interpreter after this code."""
    told = f"{code}\nimport sys\nprint('MODULES', *sorted(sys.modules))"
    env = {**os.environ, "FERMTUI_CACHE": str(cache)}
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, env=env, check=True)
    return set(done.stdout.rpartition("MODULES ")[2].split())


def test_a_warm_due_reads_no_entry_and_asks_no_model(tmp_path: Path) -> None:
    words = ["--cellar", str(sample_path()), "due", "--on", "2026-03-18T19:00"]
    code = f"from fermtui.cli.main import run\nrun({words!r})"
    loaded_after(code, tmp_path)
    assert loaded_after(code, tmp_path) & set(NOT_WARM) == set()


@pytest.mark.parametrize("module", ["fermtui.tui.app", "fermtui.tui.first"])
def test_the_first_picture_does_not_wait_for_the_engine(module: str, tmp_path: Path) -> None:
    assert loaded_after(f"import {module}", tmp_path) & set(NOT_FIRST) == set()

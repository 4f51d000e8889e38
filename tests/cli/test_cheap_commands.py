"""A report never waits for the screens to load, nor for the calendar library unless it writes a calendar."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

Cellar = Callable[[Mapping[str, str]], Path]

PAGE = """
{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0 }
{ at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
{ at = 2026-01-10T10:20:00+01:00, did = "pitch" }
{ at = 2026-03-01T10:00:00+01:00, did = "bottle", count = 5, size_ml = 750 }
"""
CALLS = ("needs", "calendar", "record rowan", "export", "compare rowan sloe", "schedule show two-doses", "label rowan",
         "put-away rowan --anyway")  # fmt: skip


@pytest.mark.parametrize("call", CALLS)
def test_what_a_report_loads(cellar: Cellar, call: str) -> None:
    head = 'name = "A"\nschedule = "two-doses"\n'
    folder = cellar({"vessels/rowan/vessel.toml": head, "vessels/rowan/daybook.toml": PAGE,
                     "vessels/sloe/vessel.toml": head})  # fmt: skip
    words = ["--cellar", str(folder), *call.split()]
    code = (
        "import sys; from fermtui.cli.main import run; "
        f"status = run({words!r}); "
        "heavy = [name for name in ('textual', 'rich', 'numpy', 'icalendar') if name in sys.modules]; "
        "print(status, *heavy, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    last = done.stderr.splitlines()[-1].split()
    assert last[0] == "0", done.stderr
    assert last[1:] == (["icalendar"] if call == "calendar" else [])

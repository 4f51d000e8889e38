"""The help of write and tick lists what can be written; `filter`, written by command."""

from __future__ import annotations

from typing import Any

import pytest

from fermtui.daybook.kinds import KINDS

HEAD = 'name = "Damson"\n[plan]\nvolume_l = 4.0\ngravity = 1.099'
BOOK = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1250 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
ON = ("--on", "2026-04-01T18:00:00+02:00")


@pytest.mark.parametrize("command", ["write", "tick"])
def test_help_lists_every_kind_and_field(command: str, fermtui: Any) -> None:
    lines = fermtui(command, "--help").out.splitlines()
    for did, kind in KINDS.items():
        start = next(at for at, line in enumerate(lines) if line.startswith(f"  {did}: "))
        end = lines.index("", start)
        shown = {line.strip().split("=")[0].lstrip("*") for line in lines[start + 1 : end] if "=" in line}
        assert shown == kind.fields.keys() - {"text", "task", "override"}
    row = next(line for line in lines if line.strip().startswith("*mass_g="))
    assert row.split(maxsplit=1)[1] == "pitted mass, 0.1 to 2,000,000 g (e.g. 500, or 1.1lb)"


@pytest.mark.parametrize("command", ["read", "due"])
def test_other_help_is_short(command: str, fermtui: Any) -> None:
    assert len(fermtui(command, "--help").out.splitlines()) < 10


def test_filter_by_command(cellar: Any, fermtui: Any) -> None:
    folder = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": BOOK})
    done = fermtui("write", "damson", "filter", "pad_um=0.5", "loss_l=200ml", *ON)
    assert done.status == 0
    assert "filtered 0.5 µm pad, 0.20 L lost" in done.out
    assert "A filtered mead is not a stabilised one" in done.err
    assert 'did = "filter", pad_um = 0.5, loss_l = 0.2 }' in (folder / "vessels/damson/daybook.toml").read_text()


def test_what_filter_refuses(cellar: Any, fermtui: Any) -> None:
    cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": BOOK})
    too_much = fermtui("write", "damson", "filter", "loss_l=9", *ON)
    assert too_much.status == 1
    assert "9.0 L" in too_much.err
    early = fermtui("write", "damson", "filter", "--at", "2026-02-01T18:00:00+01:00", *ON)
    assert early.status == 1
    assert "there is no must yet to filter" in early.err
    assert fermtui("write", "damson", "filter", "pad_um=0", *ON).status == 1

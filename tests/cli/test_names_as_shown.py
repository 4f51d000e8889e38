"""A vessel may be named as it is shown; its folder's name comes first."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

HEAD = 'name = "{}"\n[plan]\nvolume_l = 4.0\ngravity = 1.099\n'
PITCHED = """
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.099, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
"""
ON = ("--on", "2026-03-04T20:00:00+01:00")


@pytest.fixture
def folder(cellar: Any) -> Path:
    pages = {}
    for place, name, shown in (
        ("vessels", "sour-cherry", "Sour cherry"), ("vessels", "damson", "Heather"), ("vessels", "heather", "Ling"),
        ("vessels", "one", "Twin"), ("past", "two", "Twin"), ("past", "quince-25", "Quince"),
    ):  # fmt: skip
        pages[f"{place}/{name}/vessel.toml"] = HEAD.format(shown)
        pages[f"{place}/{name}/daybook.toml"] = PITCHED
    made: Path = cellar(pages)
    return made


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize(("typed", "shown"), [
    ("sour-cherry", "Sour cherry (sour-cherry)"), ("Sour cherry", "Sour cherry (sour-cherry)"),
    ("sour  CHERRY", "Sour cherry (sour-cherry)"), ("heather", "Ling (heather)"), ("Quince", "Quince (quince-25)"),
])  # fmt: skip
def test_show_finds_it(fermtui: Any, typed: str, shown: str) -> None:
    ran = fermtui("show", typed, *ON)
    assert ran.out.splitlines()[0] == shown


def test_entries_go_to_its_folder(folder: Path, fermtui: Any) -> None:
    assert fermtui("write", "Sour cherry", "degas", *ON).status == 0
    assert fermtui("read", "SOUR CHERRY", "1.090", *ON).status == 0
    assert fermtui("strike", "Sour cherry", *ON).status == 0
    page = (folder / "vessels/sour-cherry/daybook.toml").read_text("utf-8")
    assert [word for word in ("degas", "sg = 1.09", "strike") if word in page] == ["degas", "sg = 1.09", "strike"]
    for command in ("record", "label", "check", "export"):
        assert "no vessel" not in fermtui(command, "Sour cherry", *ON).err
    assert fermtui("compare", "Sour cherry", "sour-cherry", *ON).err == "fermtui: compare takes each vessel once\n"


@pytest.mark.usefixtures("folder")
def test_two_of_one_name_are_not_guessed(fermtui: Any) -> None:
    for typed in ("Twin", "HEATHER"):
        ran = fermtui("show", typed, *ON)
        assert ran.status == 1
        assert ran.err.endswith(": name its folder\n")
    assert "there is no vessel 'sour'" in fermtui("show", "sour", *ON).err

"""What the screens show is told in words too: numbers explained, long lines on a terminal, schemas for scripts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from fermtui import reports
from fermtui.cli.files_out import hanging, progress
from fermtui.cli.open_screens import can_draw

SCHEMAS = Path(reports.__file__).with_name("schemas")
SAMPLE = Path(__file__).parents[2] / "sample_cellar"
ON = ("--on", "2026-03-20")


@pytest.fixture
def sample(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    (tmp_path / "cellar").symlink_to(SAMPLE)


@pytest.mark.usefixtures("sample")
@pytest.mark.parametrize(("name", "words"), [
    ("due", ("due",)), ("due", ("due", "--days", "60")), ("show", ("show",)), ("show", ("show", "heather")),
    ("show", ("show", "blackcurrant")),
])  # fmt: skip
def test_the_json_is_what_its_schema_says(name: str, words: tuple[str, ...], fermtui: Any) -> None:
    schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    found = fermtui(*words, "--json", *ON).json
    faults = [f"{fault.json_path}: {fault.message}" for fault in Draft202012Validator(schema).iter_errors(found)]
    assert faults == []
    assert found["schema_version"] == 1
    found["schema_version"] = 2
    assert not Draft202012Validator(schema).is_valid(found)


@pytest.mark.usefixtures("sample")
def test_a_number_is_explained_in_words(fermtui: Any) -> None:
    ran = fermtui("show", "heather", "--explain", "strength", *ON)
    assert ran.out.startswith("strength: 4.6 % vol\n  how ")
    assert "OIML R 22" in ran.out
    whole = fermtui("show", "heather", "--explain", *ON).out
    assert ran.out.strip() in whole
    assert "finish" in whole
    (step,) = fermtui("show", "heather", "--explain", "alcohol", "--json", *ON).json["numbers"]
    assert (step["name"], step["unit"]) == ("alcohol", "g")
    assert all({"name", "value", "unit"} == set(one) for one in step["inputs"])


@pytest.mark.usefixtures("sample")
def test_a_number_that_is_none_names_those_that_are(fermtui: Any) -> None:
    ran = fermtui("show", "heather", "--explain", "colour", *ON)
    assert (ran.status, ran.out) == (1, "")
    assert "has no number 'colour': volume, headspace" in ran.err
    assert fermtui("show", "--explain", *ON).status == 2
    assert fermtui("show", "heather", "strength", *ON).status == 2


def test_a_long_line_goes_on_under_its_last_column() -> None:
    line = "late  Damson   dose 2 of 3   1.1 g DAP, 1.3 g autolysate; three days after pitching, 16 Mar  [dose-2]"
    parts = hanging(line, 60)
    assert parts[0].startswith("late  Damson   dose 2 of 3   1.1 g DAP")
    assert all(part.startswith(" " * 29 + part.strip()[0]) for part in parts[1:])
    assert all(len(part) <= 60 for part in parts)
    assert " ".join(" ".join(parts).split()) == " ".join(line.split())
    assert hanging(line, 200) == [line]
    assert max(len(part) for part in hanging("word " * 40, 40)) <= 40


@pytest.mark.usefixtures("sample")
def test_piped_a_line_stays_a_line(fermtui: Any) -> None:
    assert max(len(line) for line in fermtui("due", *ON).out.splitlines()) > 100


def test_a_server_for_browsers_gets_the_screens(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TEXTUAL_DRIVER", raising=False)
    assert not can_draw()
    monkeypatch.setenv("TEXTUAL_DRIVER", "textual.drivers.web_driver:WebDriver")
    assert can_draw()


def test_a_bar_is_drawn_for_who_looks_and_wiped(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert progress("fermtui", "vessels") is None  # piped
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    tell = progress("fermtui", "vessels")
    assert tell is not None
    tell(500, 1000)
    assert capsys.readouterr().err == "\rfermtui [############            ] 500 of 1,000 vessels"
    tell(1000, 1000)
    assert capsys.readouterr().err.strip("\r") .strip(" ") == ""
    quick = progress("fermtui", "vessels", after_s=60.0)
    assert quick is not None
    quick(500, 1000)
    quick(1000, 1000)
    assert capsys.readouterr().err.strip("\r ") == ""

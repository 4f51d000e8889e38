"""A table of TOML out of the cache is the same as out of the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from fermtui.cellar.cache import Cache
from fermtui.cellar.tables import cached_schedule, cached_settings, table_from, table_text
from fermtui.daybook.settings import read_settings
from fermtui.daybook.toml_file import parse_toml
from fermtui.schedule.parser import LIBRARY

FILE = b"""
timezone = "Europe/Vienna"
honey_moisture_percent = 17.10
deep = { one = [1, 2.50, { two = true }], nothing = [] }
[stock]
counted = 2026-05-20
at = 2026-05-20T18:00:00+02:00
local = 2026-05-20T18:00:00
hour = 07:30:00
vast = inf
whole = 9007199254740993
[[bottle]]
size_ml = 750
"""


def test_a_kept_table_is_the_same_to_type_and_digit() -> None:
    text = table_text(parse_toml(FILE))
    assert text is not None
    assert repr(table_from(text)) == repr(parse_toml(FILE))


SETTINGS = b"""timezone = "Europe/Vienna"
honey_moisture_percent = 17.10
[[container]]
name = "Jar"
capacity_l = 5.0
"""


def test_settings_are_parsed_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache(tmp_path / "cache.json")
    first = cached_settings(cache, SETTINGS)
    cache.save()
    monkeypatch.setattr("fermtui.daybook.settings.parse_toml", lambda _: pytest.fail("parsed again"))
    assert repr(cached_settings(Cache(tmp_path / "cache.json"), SETTINGS)) == repr(first)


def test_a_schedule_is_examined_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache, data = Cache(tmp_path / "cache.json"), (LIBRARY / "two-doses.toml").read_bytes()
    first = cached_schedule(cache, data, "library/two-doses.toml")
    assert first[0] is not None
    cache.save()
    monkeypatch.setattr("fermtui.cellar.tables.schedule_from", lambda *_: pytest.fail("examined again"))
    again = cached_schedule(Cache(tmp_path / "cache.json"), data, "library/two-doses.toml")[0]
    assert again is not None
    assert (again.name, again.title, again.steps) == (first[0].name, first[0].title, first[0].steps)


@pytest.mark.parametrize("text", ['{"timezone":5}', '{"timezone":null}', '{"container":"Jar"}', '{"tiemzone":1}'])
def test_settings_out_of_shape_are_read_from_the_file(text: str, tmp_path: Path) -> None:
    cache = Cache(tmp_path / "cache.json")
    cache.put("settings", text, SETTINGS)
    assert cached_settings(cache, SETTINGS) == read_settings(SETTINGS)


def test_an_empty_name_is_not_mistaken_for_a_kind() -> None:
    table = parse_toml(b'"" = ["Decimal", "1.1"]')
    assert table_text(table) is None


@pytest.mark.parametrize("text", ["", "[]", "{", '{"a":{"":1}}', '{"a":{"":["os","x"]}}', '{"a":{"":["Decimal","x"]}}'])
def test_what_is_none_of_its_own_is_no_table(text: str) -> None:
    with pytest.raises((ValueError, TypeError, LookupError, ArithmeticError)):
        table_from(text)


def test_a_damaged_file_is_told_each_time(tmp_path: Path) -> None:
    cache = Cache(tmp_path / "cache.json")
    for _ in range(2):
        assert [problem.kind for problem in cached_settings(cache, b"a = ")[1]] == ["no_settings"]
        assert cached_schedule(cache, b"a = ", "schedules/own.toml")[0] is None

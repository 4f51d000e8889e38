"""A table of TOML out of the cache is the same as out of the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from fermtui.cellar.cache import Cache
from fermtui.cellar.tables import table_from, table_of, table_text
from fermtui.daybook.toml_file import Malformed, parse_toml

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


def test_it_is_read_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache(tmp_path / "cache.json")
    first = table_of(FILE, cache)
    cache.save()
    monkeypatch.setattr("fermtui.daybook.toml_file.parse_toml", lambda _: pytest.fail("parsed again"))
    assert repr(table_of(FILE, Cache(tmp_path / "cache.json"))) == repr(first)


def test_an_empty_name_is_not_mistaken_for_a_kind() -> None:
    table = parse_toml(b'"" = ["Decimal", "1.1"]')
    assert table_text(table) is None


@pytest.mark.parametrize("text", ["", "[]", "{", '{"a":{"":1}}', '{"a":{"":["os","x"]}}', '{"a":{"":["Decimal","x"]}}'])
def test_what_is_none_of_its_own_is_no_table(text: str) -> None:
    assert table_from(text) is None


def test_a_damaged_file_is_told_each_time(tmp_path: Path) -> None:
    cache = Cache(tmp_path / "cache.json")
    for _ in range(2):
        with pytest.raises(Malformed):
            table_of(b"a = ", cache)

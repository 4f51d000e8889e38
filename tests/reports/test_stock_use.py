"""Use since the count: reading only the late lines finds what reading all of them would."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.lines import line_of, read_lines
from fermtui.daybook.strikes import live
from fermtui.reports.stock_use import (
    ANY_CLOSURE,
    StockItem,
    Use,
    bottle_item,
    closure_item,
    fruit_item,
    since,
    uses,
)

DAY = date(2026, 4, 20)
NOON = datetime(2026, 4, 20, 12, tzinfo=UTC)


def late_keys(data: bytes) -> list[str]:
    standing = live(read_lines(data, "daybook.toml")[0])[0]
    return sorted(entry.key for entry in standing if entry.at.date() > DAY and entry.did != "strike")


@given(st.lists(st.tuples(st.integers(-40, 40), st.integers(0, 9), st.booleans()), max_size=12))
def test_the_late_lines_are_enough(acts: list[tuple[int, int, bool]]) -> None:
    lines = []
    for number, (days, other, strike) in enumerate(acts):
        fields: dict[str, str | int] = {"entry": f"k{other}"} if strike else {"honey_g": 100}
        lines.append(line_of(f"k{number}", "strike" if strike else "feed", NOON + timedelta(days=days), fields))
    data = "".join(lines).encode()
    assert late_keys(since(data, DAY)) == late_keys(data)


def test_a_daybook_that_ended_before_is_not_parsed_at_all() -> None:
    old = line_of("k1", "feed", NOON - timedelta(days=3), {"honey_g": 100}).encode()
    assert since(old, DAY) == b""
    assert since(b"", DAY) == b""


@pytest.mark.parametrize(("did", "fields", "used"), [
    ("mix", {"honey_g": 1200, "volume_l": 4}, [Use(StockItem("honey"), 1200)]),
    ("add", {"what": "Honey", "mass_g": 50}, [Use(StockItem("honey"), 50)]),
    ("add", {"what": "oak", "mass_g": 5}, []),
    ("dose", {"dap_g": 1, "autolysate_g": 2, "complex_g": 0},
     [Use(StockItem("dap"), 1), Use(StockItem("autolysate"), 2)]),
    ("read", {"sg": 1.05}, []),
    ("bottle", {"count": 5, "size_ml": 750, "closure": "Screw cap"},
     [Use(StockItem("bottle", "750 mL"), 5), Use(StockItem("closure", "screw_cap"), 5)]),
    ("bottle", {"count": 5, "size_ml": 750, "glass": "sparkling", "priming_kind": "honey", "priming_g": 30},
     [Use(StockItem("bottle", "750 mL sparkling"), 5), Use(ANY_CLOSURE, 5), Use(StockItem("honey"), 30)]),
])  # fmt: skip
def test_what_an_act_uses(did: str, fields: dict[str, object], used: list[Use]) -> None:
    assert list(uses(did, fields)) == used


def test_one_thing_has_one_name() -> None:
    assert fruit_item("Plums") == fruit_item("plum") == StockItem("fruit", "plum")
    assert fruit_item("damson") != fruit_item("plum"), "counted as plums in the must, but nobody buys them for damsons"
    assert fruit_item("Moon  berry") == StockItem("fruit", "moon berry")
    assert closure_item("screw-cap") == closure_item("Screw cap")
    assert bottle_item(750.0, None) == bottle_item(750, "still") != bottle_item(750, "beer")

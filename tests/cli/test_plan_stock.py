"""A plan says what is missing from stock, and is silent about what nobody counted."""

from __future__ import annotations

from typing import Any

HEAD = """
timezone = "Europe/Vienna"
[stock]
counted = 2026-02-01
honey_g = 500
dap_g = 100
fruit_g = { plum = 200 }
"""
WORDS = ("start", "Damson", "--volume", "4L", "--gravity", "1.095", "--fruit", "plum", "--mass", "500g", "--dry-run",
         "--on", "2026-03-01")  # fmt: skip


def test_what_is_missing_is_said(cellar: Any, fermtui: Any) -> None:
    cellar({"cellar.toml": HEAD})
    missing = fermtui(*WORDS, "--json").json["missing"]
    assert [line.partition(" missing")[0].split(" ", 2)[2] for line in missing] == ["honey", "plum"]
    assert missing[1] == "300 g plum missing: 200 g in stock"
    assert "honey missing: 500 g in stock" in fermtui(*WORDS).out


def test_what_was_used_since_the_count_is_gone(cellar: Any, fermtui: Any) -> None:
    cellar({
        "cellar.toml": HEAD,
        "vessels/rowan/vessel.toml": 'name = "Rowan"',
        "vessels/rowan/daybook.toml": '{ at = 2026-02-10T18:00:00+01:00, did = "fruit", kind = "plum", mass_g = 200 }',
    })  # fmt: skip
    assert "500 g plum missing: none in stock" in fermtui(*WORDS, "--json").json["missing"]


def test_without_a_count_nothing_is_said(cellar: Any, fermtui: Any) -> None:
    cellar({})
    assert fermtui(*WORDS, "--json").json["missing"] == []

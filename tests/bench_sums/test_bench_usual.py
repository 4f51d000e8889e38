"""What the maker's own settings give the bench: units, the hydrometer, the labels."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benching import do
from fermtui.bench.options import GivenOptions
from fermtui.bench.table import SUMS, solve, with_usual
from fermtui.bench.usual import of_the_maker
from fermtui.daybook.settings_file import read_settings
from fermtui.units import Units

MAKER = b"""
honey_moisture_percent = 18
room_m3 = 12.5
[units]
volume = "gal"
mass = "oz"
temp = "F"
gravity = "plato"
decimal_comma = true
[hydrometer]
calibrated_c = 15
offset_sg = 0.002
[nutrients]
autolysate_n_percent = 10
inorganic_share = 0.4
[sulfite]
salt = "sodium"
molecular_mg_per_l = 0.6
"""


def test_the_makers_hydrometer_and_labels_are_the_usual_ones() -> None:
    _, usual = of_the_maker(MAKER)
    found = solve("correct", {"gravity": "1.052"}, usual=usual)
    assert found.values == do("correct gravity=1.052 calibrated=15C offset=0.002").values
    assert solve("honey", {"volume": "4L", "gravity": "1.1"}, usual=usual).values["moisture_percent"] == 18.0
    fed = solve("nitrogen", {"volume": "4L", "gravity": "1.1"}, usual=usual)
    assert fed.values == do("nitrogen volume=4L gravity=1.1 inorganic=40 autolysate-n=10").values
    for what, options in usual.items():
        assert set(options) <= {option.name for option in SUMS[what].options}
        GivenOptions(what, with_usual(SUMS[what].options, options), NEEDED[what], Units())


NEEDED = {
    "correct": {}, "honey": {"volume": "4L"}, "sweeten": {"volume": "4L", "from": "1", "to": "1.01", "abv": "12"},
    "air": {"volume": "4L", "gravity": "1.1"}, "nitrogen": {"volume": "4L", "gravity": "1.1"},
    "sulfite": {"volume": "4L", "ph": "3.4", "abv": "12"},
}  # fmt: skip


ODD = (b"[units]\nmass = 'lb'\ntemp = 'K'", b"units = 3\n[hydrometer]\noffset_sg = 1", b"no settings", b"\xff")


@pytest.mark.parametrize("data", [MAKER, b"", *ODD])
def test_the_quick_look_at_the_settings_sees_what_the_settings_say(data: bytes) -> None:
    settings, _ = read_settings(data)
    units, usual = of_the_maker(data)
    assert units == settings.units
    told_ = {name: do_usual(usual, name) for name in ("calibrated", "offset", "moisture", "salt")}
    assert float((told_["calibrated"] or "20 C").removesuffix(" C")) == settings.hydrometer.calibrated_c
    assert float(told_["offset"] or 0) == settings.hydrometer.offset_sg
    assert float((told_["moisture"] or "17.1 %").removesuffix(" %")) == settings.honey_moisture_percent
    assert (told_["salt"] or "potassium") == settings.sulfite.salt


def do_usual(usual: Mapping[str, Mapping[str, str]], name: str) -> str | None:
    return next((options[name] for options in usual.values() if name in options), None)


@given(st.binary(max_size=200))
def test_any_settings_file_leaves_the_bench_usable(data: bytes) -> None:
    of_the_maker(data)

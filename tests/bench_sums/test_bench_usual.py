"""What the maker's own settings give the bench: units, the hydrometer, the labels."""

from __future__ import annotations

from math import isfinite

from hypothesis import given
from hypothesis import strategies as st

from benching import do
from fermtui.bench.options import READERS, GivenOptions, with_usual
from fermtui.bench.table import SUMS, solve
from fermtui.daybook.settings import read_settings
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


SETTINGS, PROBLEMS = read_settings(MAKER)
METRIC = SETTINGS._replace(units=Units())


def test_the_makers_hydrometer_and_labels_are_the_usual_ones() -> None:
    assert PROBLEMS == ()
    found = solve("correct", {"gravity": "1.052"}, METRIC)
    assert found.values == do("correct gravity=1.052 calibrated=15C offset=0.002").values
    assert solve("honey", {"volume": "4L", "gravity": "1.1"}, METRIC).values["moisture_percent"] == 18.0
    fed = solve("nitrogen", {"volume": "4L", "gravity": "1.1"}, METRIC)
    assert fed.values == do("nitrogen volume=4L gravity=1.1 inorganic=40 autolysate-n=10").values


def test_every_setting_of_an_option_is_read_back_as_it_is() -> None:
    read = {
        (what, option.name): GivenOptions(what, (option,), {}, METRIC)
        for what, kind in SUMS.items()
        for option in with_usual(kind.options, METRIC)
        if option.setting and option.usual is not None
    }
    numbers = {key: given.number(key[1]) for key, given in read.items() if key[1] != "salt"}
    assert read["sulfite", "salt"].word("salt") == "sodium"
    assert numbers == {
        ("correct", "calibrated"): 15.0, ("correct", "offset"): 0.002, ("honey", "moisture"): 18.0,
        ("nitrogen", "own"): 20.0, ("nitrogen", "inorganic"): 40.0, ("nitrogen", "autolysate-n"): 10.0,
        ("nitrogen", "effect"): 1.0, ("sulfite", "molecular"): 0.6, ("sweeten", "moisture"): 18.0,
        ("air", "room"): 12.5,
    }  # fmt: skip


@given(st.binary(max_size=200))
def test_any_settings_file_leaves_the_bench_usable(data: bytes) -> None:
    settings, _ = read_settings(data)
    for kind in SUMS.values():
        found = with_usual(kind.options, settings)
        assert [option.name for option in found] == [option.name for option in kind.options]
        usual = [option for option in found if option.usual is not None and option.kind in READERS]
        assert all(isfinite(READERS[option.kind](option.usual or "", settings.units)) for option in usual)

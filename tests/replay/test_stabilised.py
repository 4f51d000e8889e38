"""Enough of sulfite and sorbate, and for how long.

Sorbate: the table of T. Underhill, Making Better Wines (10 to 14 % vol, pH 3.1 to 3.5), at most 200 mg/L of sorbic
acid (OIV-OENO II.3.4.5). Sulfite: 0.8 mg/L molecular by the pK of OIV-MA-AS323-04C. The four fifths and the 120 days
are common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fermtui.must.preservatives import SorbateDose, free_so2_needed_mg_per_l, sorbate_dose
from fermtui.replay.contents import abv_percent
from fermtui.replay.facts import Facts
from fermtui.replay.keeping import cannot_hold
from fermtui.replay.stabilised import (
    enough_sorbate,
    enough_sulfite,
    free_so2_mg_per_l,
    stabilised_at,
    sulfited_at,
)
from gravities import Act, Gravity, bottling, day, mead

STILL: tuple[Gravity, ...] = ((20, 1.008), (23, 1.008), (27, 1.008))
WATCH: tuple[Gravity, ...] = ((31, 1.008), (35, 1.008))
LITRES = 3.8
PH = 3.3


def needed_sorbate_g(ph: float = PH) -> float:
    facts = mead(*STILL)
    strength = abv_percent(facts)
    assert strength is not None
    dose = sorbate_dose(LITRES, ph, strength)
    assert isinstance(dose, SorbateDose)
    return dose.potassium_sorbate_g


def needed_metabisulfite_g(ph: float = PH) -> float:
    strength = abv_percent(mead(*STILL))
    assert strength is not None
    # Potassium metabisulfite holds 57.6 % SO2 (IUPAC atomic weights).
    return free_so2_needed_mg_per_l(ph, 20.0, strength) * LITRES / 1000.0 / 0.576


def kept(
    sulfite_share: float = 1.0, sorbate_share: float = 1.0, ph: float = PH, more: tuple[Act, ...] = (),
    gravities: tuple[Gravity, ...] = STILL + WATCH,
) -> Facts:  # fmt: skip
    """Racked to 3.8 L, with these shares of both doses as reckoned for its pH and strength."""
    acts: list[Act] = [
        (28.0, {"did": "rack", "volume_l": LITRES}),
        (28.1, {"did": "sulfite", "metabisulfite_g": needed_metabisulfite_g(ph) * sulfite_share, "ph": ph}),
        (28.2, {"did": "sorbate", "sorbate_g": needed_sorbate_g(ph) * sorbate_share, "ph": ph}),
    ]
    return mead(*gravities, acts=[*acts, *more])


def test_the_reckoned_doses_stabilise() -> None:
    assert stabilised_at(kept(), day(35)) == day(28.2)
    assert bottling(kept(), 35.1) == ()


@pytest.mark.parametrize(
    ("sulfite_share", "sorbate_share", "enough"),
    [(1.0, 1.0, True), (0.85, 0.85, True), (0.75, 1.0, False), (1.0, 0.75, False), (0.0, 1.0, False),
     (1.0, 0.0, False), (1.0, 0.01, False)],
)  # fmt: skip
def test_four_fifths_of_each_are_asked_for(sulfite_share: float, sorbate_share: float, enough: bool) -> None:
    facts = kept(sulfite_share, sorbate_share)
    assert (stabilised_at(facts, day(35)) is not None) == enough
    assert (bottling(facts, 35.1) == ()) == enough


def test_a_hundredth_of_a_gram_of_sorbate_stabilises_nothing() -> None:
    acts: list[Act] = [
        (28.0, {"did": "rack", "volume_l": LITRES}),
        (28.1, {"did": "sulfite", "metabisulfite_g": 0.3, "ph": 3.4}),
        (28.2, {"did": "sorbate", "sorbate_g": 0.01, "ph": 3.4}),
    ]
    facts = mead(*STILL, *WATCH, acts=acts)
    assert not enough_sorbate(facts)
    assert stabilised_at(facts, day(35)) is None
    (finding,) = bottling(facts, 35.1)
    assert (finding.kind, finding.key) == ("refusal", "bottle_unstable")


def test_a_less_acid_mead_wants_more_of_both() -> None:
    assert needed_sorbate_g(3.5) > needed_sorbate_g(3.2)
    assert needed_metabisulfite_g(3.5) > needed_metabisulfite_g(3.2)
    enough_at_32: tuple[Act, ...] = (
        (28.0, {"did": "rack", "volume_l": LITRES}),
        (28.1, {"did": "sulfite", "metabisulfite_g": needed_metabisulfite_g(3.2), "ph": 3.5}),
        (28.2, {"did": "sorbate", "sorbate_g": needed_sorbate_g(3.2), "ph": 3.5}),
    )
    assert stabilised_at(mead(*STILL, *WATCH, acts=enough_at_32), day(35)) is None


@pytest.mark.parametrize("ph", [3.6, 4.0])
def test_no_dose_holds_where_the_table_ends(ph: float) -> None:
    acts: list[Act] = [
        (28.0, {"did": "rack", "volume_l": LITRES}),
        (28.1, {"did": "sulfite", "metabisulfite_g": 0.6, "ph": ph}),
        (28.2, {"did": "sorbate", "sorbate_g": 1.0, "ph": ph}),
    ]
    assert stabilised_at(mead(*STILL, *WATCH, acts=acts), day(35)) is None


def test_two_doses_count_together() -> None:
    second: tuple[Act, ...] = ((29, {"did": "sorbate", "sorbate_g": needed_sorbate_g() * 0.5, "ph": PH}),)
    assert stabilised_at(kept(1.0, 0.5), day(35)) is None
    assert stabilised_at(kept(1.0, 0.5, more=second), day(35)) is not None


def test_a_sulfite_before_the_yeast_was_spent_by_it() -> None:
    acts: list[Act] = [
        (-1.0, {"did": "sulfite", "metabisulfite_g": 0.5}),
        (28.0, {"did": "rack", "volume_l": LITRES}),
        (28.2, {"did": "sorbate", "sorbate_g": needed_sorbate_g(), "ph": PH}),
    ]
    facts = mead(*STILL, *WATCH, acts=acts)
    assert sulfited_at(facts) is None
    assert stabilised_at(facts, day(35)) is None


def test_a_measurement_goes_before_what_was_given() -> None:
    needed = free_so2_needed_mg_per_l(PH, 20.0, abv_percent(mead(*STILL)) or 12.0)
    bound: tuple[Act, ...] = ((30, {"did": "read", "free_so2_mg_per_l": 0.5 * needed}),)
    facts = kept(more=bound)
    assert free_so2_mg_per_l(facts) == pytest.approx(0.5 * needed)
    assert not enough_sulfite(facts)
    assert stabilised_at(facts, day(35)) is None
    again: Act = (31, {"did": "sulfite", "metabisulfite_g": 0.6 * needed_metabisulfite_g(), "ph": PH})
    assert stabilised_at(kept(more=(*bound, again)), day(35)) is not None


def test_a_sulfite_dose_ages() -> None:
    assert stabilised_at(kept(), day(28.1 + 119)) is not None
    assert stabilised_at(kept(), day(28.1 + 121)) is None
    later: Act = (140, {"did": "sulfite", "metabisulfite_g": needed_metabisulfite_g(), "ph": PH})
    assert stabilised_at(kept(more=(later,)), day(28.1 + 121)) is not None


LATE: tuple[Gravity, ...] = ((200, 1.008), (204, 1.008), (208, 1.008))


def test_a_sulfite_of_half_a_year_ago_opens_no_way_to_the_bottle() -> None:
    facts = kept(gravities=STILL + LATE)
    assert stabilised_at(facts, day(208.1)) is None
    assert bottling(facts, 208.1) != ()


@pytest.mark.parametrize(
    "undone",
    [{"did": "pitch"}, {"did": "feed", "honey_g": 50}],
)
def test_yeast_or_its_food_ends_it(undone: dict[str, Any]) -> None:
    facts = kept(more=((29.0, undone),))
    assert stabilised_at(facts, day(35)) is None
    assert bottling(facts, 35.1) != ()


@pytest.mark.parametrize(
    "undone",
    [
        {"did": "receive", "from": "other", "volume_l": 0.5, "water_g": 450.0, "sugar_g": 40.0, "ethanol_g": 20.0},
        {"did": "top_up", "from": "other", "volume_l": 0.3, "sg": 1.020, "abv_percent": 10.0},
    ],
)
def test_a_live_mead_poured_in_ends_it(undone: dict[str, Any]) -> None:
    assert stabilised_at(kept(more=((29.0, undone),)), day(35)) is None


def test_what_still_falls_is_not_held() -> None:
    falls = kept(gravities=(*STILL, (31, 1.007), (35, 1.0045)))
    assert stabilised_at(falls, day(35.1)) is None
    assert bottling(falls, 35.1) != ()


# Laws


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 1.5), st.floats(0.0, 1.5), st.floats(0.0, 1.5), st.floats(3.0, 3.5))
def test_more_of_either_never_makes_it_less_stabilised(sulfite: float, one: float, other: float, ph: float) -> None:
    less, more = sorted((one, other))
    ph = round(ph, 2)
    if stabilised_at(kept(sulfite, less, ph), day(35)) is not None:
        assert stabilised_at(kept(sulfite, more, ph), day(35)) is not None
    if stabilised_at(kept(less, sulfite, ph), day(35)) is not None:
        assert stabilised_at(kept(more, sulfite, ph), day(35)) is not None


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 1.5), st.floats(0.0, 1.5), st.floats(28.0, 400.0), st.floats(0.0, 200.0))
def test_time_alone_never_stabilises(sulfite: float, sorbate: float, at: float, more: float) -> None:
    facts = kept(sulfite, sorbate)
    if stabilised_at(facts, day(at)) is None:
        assert stabilised_at(facts, day(at + more)) is None


def test_what_is_stronger_than_every_table_is_judged_by_its_edge() -> None:
    # 4 L at some 12 % and 4 L of 60 % vol are 36 % (by volume): beyond the 25 % of the sums, and not beyond sense.
    spirit: Act = (28, {"did": "top_up", "with": "neutral spirit", "volume_l": 4.0, "abv_percent": 60.0})
    strong = mead(*STILL, acts=(spirit,))
    assert (abv_percent(strong) or 0.0) > 32.0
    assert cannot_hold(strong) is None
    assert not enough_sulfite(strong)
    assert stabilised_at(strong, day(30)) is None
    dosed = mead(
        *STILL,
        acts=(
            spirit,
            (29, {"did": "sulfite", "metabisulfite_g": 1.0, "ph": 3.4}),
            (29.1, {"did": "sorbate", "sorbate_g": 1.0, "ph": 3.4}),
        ),
    )
    assert enough_sulfite(dosed)
    assert enough_sorbate(dosed)

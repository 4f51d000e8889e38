"""Thirty random life stories, each in two ledgers: the program's, and one written from published densities alone.

They must agree on strength, volume, what may ferment again and the room in the vessel. How far: CRC Handbook and
ICUMSA differ by up to 0.00016 SG, and Tabarié's relation is not exact where both sugar and alcohol are high.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import head_from
from fermtui.daybook.kinds import entry_from
from fermtui.replay.present import present
from fermtui.replay.replay import replay
from second_ledger import PLUM_PULP_ML_PER_G, PLUM_SUGAR, PLUM_WATER, SecondLedger, sugar_water

ABV, LITRES, SG, G_PER_L = 0.03, 0.005, 0.0002, 0.5
"""Measured over 150 lives: 0.016 % vol, 0.002 L, 0.0001, 0.2 g/L at the worst."""
START = datetime(2026, 1, 1, 12, tzinfo=UTC)
CAPACITY_L = 30.0
LATER = timedelta(days=4)  # from one entry to the next: the juice of fruit is all in by then (three days)


class Life:
    """A vessel as it is lived: each act is written into a daybook and reckoned by the second ledger."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self.at = START
        self.ledger = SecondLedger()

    def write(self, did: str, **fields: Any) -> None:
        self.entries.append(entry_from(f"k{len(self.entries):03d}", {"at": self.at, "did": did, **fields}))
        self.at += LATER

    def mix(self, litres: float, honey_g: float, moisture: float) -> None:
        self.write("mix", honey_g=honey_g, honey_moisture_percent=moisture, water_l=litres)
        self.ledger.pour(litres * 998.2 + honey_g * moisture / 100.0, honey_g * (1.0 - moisture / 100.0))

    def original(self, off: float) -> None:
        sg = round(self.ledger.sg + off, 3)
        self.write("read", sg=sg, temp_c=20.0)
        self.ledger.read_before_pitching(sg)
        self.write("pitch")

    def read(self, share: float, temp_c: float = 20.0) -> None:
        """A share of the way down to 0.998, or to where the alcohol stays below 17 % vol."""
        sg = round(self.ledger.sg - share * (self.ledger.sg - 0.998), 3)
        if sg < self.ledger.sg - 0.001:
            self.write("read", sg=sg, temp_c=temp_c)
            self.ledger.ferment_to(sg)

    def feed(self, honey_g: float) -> None:
        self.write("feed", honey_g=honey_g)
        self.ledger.pour(0.171 * honey_g, 0.829 * honey_g)  # 17.1 % of water: USDA SR28, honey

    def fruit(self, mass_g: float) -> None:
        self.write("fruit", kind="plum", mass_g=mass_g)
        self.ledger.pour(PLUM_WATER * mass_g, PLUM_SUGAR * mass_g)
        self.ledger.pulp_l += PLUM_PULP_ML_PER_G * mass_g / 1000.0

    def pull(self, loss_l: float) -> None:
        self.write("pull", what="fruit", loss_l=loss_l)
        self.ledger.keep(self.ledger.litres - loss_l)
        self.ledger.pulp_l = 0.0

    def rack(self, share: float) -> None:
        litres = round(share * self.ledger.litres, 2)
        self.write("rack", volume_l=litres)
        self.ledger.keep(litres)
        self.ledger.pulp_l = 0.0

    def level(self, share: float) -> None:
        litres = round(share * (self.ledger.litres + self.ledger.pulp_l), 2)
        self.write("level", volume_l=litres)
        self.ledger.keep(litres - self.ledger.pulp_l)

    def sample(self, millilitres: float) -> None:
        sg = round(self.ledger.sg, 4)
        self.write("read", sg=sg, temp_c=20.0, sample_ml=millilitres)
        self.ledger.keep(self.ledger.litres - millilitres / 1000.0)

    def water(self, litres: float) -> None:
        self.write("top_up", **{"with": "water", "volume_l": litres})
        self.ledger.pour(litres * 998.2, 0.0)

    def mead(self, litres: float, sg: float, abv_percent: float) -> None:
        self.write("top_up", **{"with": "mead", "volume_l": litres, "sg": sg, "abv_percent": abv_percent})
        self.ledger.pour_mead(litres, sg, abv_percent)

    def split(self, litres: float) -> None:
        self.write("split", into="other", volume_l=litres)
        self.ledger.keep(self.ledger.litres - litres)


@st.composite
def lives(draw: st.DrawFn) -> Life:
    def between(low: float, high: float, places: int = 2) -> float:
        return round(draw(st.floats(low, high)), places)

    life = Life()
    litres = between(3.0, 15.0)
    life.mix(litres, round(litres * between(150.0, 480.0)), between(15.0, 20.0, 1))
    life.original(between(-0.004, 0.004, 3))
    life.read(between(0.05, 0.6))
    acts = st.sampled_from(("read", "read", "feed", "fruit", "rack", "level", "sample", "water", "mead", "split"))
    for act in draw(st.lists(acts, min_size=2, max_size=9)):
        there = life.ledger.litres
        if act == "read":
            life.read(between(0.1, 0.9))
        elif act == "feed":
            life.feed(round(there * between(10.0, 60.0)))
        elif act == "fruit" and not life.ledger.pulp_l:
            life.fruit(round(there * between(30.0, 250.0)))
            life.read(between(0.2, 0.8))
            life.pull(between(0.0, 0.08, 3) * round(there, 1))
        elif act == "rack":
            life.rack(between(0.9, 0.99))
        elif act == "level":
            life.level(between(0.95, 1.02))
        elif act == "sample":
            life.sample(round(between(20.0, 150.0)))
        elif act == "water":
            life.water(round(there * between(0.02, 0.1), 2))
        elif act == "mead":
            life.mead(round(there * between(0.02, 0.15), 2), between(0.998, 1.030, 3), between(8.0, 16.0, 1))
        elif act == "split":
            life.split(round(there * between(0.1, 0.4), 2))
    return life


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(lives(), st.sampled_from([12.0, 14.0, 18.0]))
def test_both_ledgers_tell_the_same_life(life: Life, tolerance_abv: float) -> None:
    head = head_from({"name": "T", "capacity_l": CAPACITY_L, "plan": {"yeast": {"tolerance_abv": tolerance_abv}}})
    facts = replay(head, life.entries)
    assert not [note for note in facts.notes if "out of reach" in note]
    stands, told = present(facts, life.at, UTC), life.ledger
    assert stands.abv_percent == pytest.approx(told.abv_percent, abs=ABV)
    assert stands.level_l == pytest.approx(told.litres + told.pulp_l, abs=LITRES)
    assert stands.headspace_l == pytest.approx(CAPACITY_L - told.litres - told.pulp_l, abs=LITRES)
    assert stands.sg == pytest.approx(told.sg, abs=SG)
    assert stands.refermentable_g_per_l == pytest.approx(told.refermentable_g_per_l(tolerance_abv), abs=G_PER_L)


def test_the_second_ledger_knows_the_worked_must_of_the_handbooks() -> None:
    # 8 % by mass of sucrose weighs 1.0299 (between 7 and 9 in the CRC table): 82.4 g/L.
    assert sugar_water(82.4) == pytest.approx(1029.9, abs=0.3)
    # Balling's real extract and alcohol of a must of 12 °P that stands at 3 °P, as in any brewing handbook: 4.6 and
    # 3.8 % by mass.
    must = SecondLedger(880.0, 120.0, 0.0, 120.0)
    must.ferment_to(sugar_water(3.0 / 100.0 * 1010.0) / 998.203)
    grams = must.water_g + must.extract_g + must.alcohol_g
    assert 100.0 * must.extract_g / grams == pytest.approx(4.63, abs=0.15)
    assert 100.0 * must.alcohol_g / grams == pytest.approx(3.75, abs=0.1)

"""What goes into the must, and what the original gravity makes of it."""

from __future__ import annotations

import pytest

from fermtui.daybook.head import Head
from fermtui.replay.present import present
from fermtui.replay.replay import replay
from telling import BERLIN, at, stands, story


def test_honey_and_water_are_mass() -> None:
    facts = story('01T18:00 "mix", honey_g = 1500, water_l = 3.5')
    assert facts.extract_g == pytest.approx(1500 * 0.829)
    assert facts.water_g == pytest.approx(1500 * 0.171 + 3.5 * 998.2, rel=1e-4)
    assert facts.volume_known
    assert facts.level_l == pytest.approx(4.54, abs=0.02)


@pytest.mark.parametrize(
    ("mixes", "litres", "sugar_g"),
    [
        (['honey_g = 1500, volume_l = 4.5'], 4.5, 1243.5),
        (['honey_g = 1500, water_l = 3.5', 'water_l = 0.5'], 5.04, 1243.5),
        # volume_l is the whole after mixing ...
        (['honey_g = 1500, volume_l = 4.5', 'honey_g = 200, volume_l = 4.65'], 4.65, 1409.3),
        (['honey_g = 1500, volume_l = 4.5', 'water_l = 0.5, volume_l = 5.0'], 5.0, 1243.5),
        # ... but pouring in makes no less: a second pot has a volume of its own.
        (['honey_g = 1500, volume_l = 4.5', 'honey_g = 1500, volume_l = 4.5'], 9.0, 2487.0),
        (['honey_g = 1500, volume_l = 4.5', 'volume_l = 4.2'], 4.2, 1160.6),
    ],
)  # fmt: skip
def test_mixed_in_one_go_or_in_several(mixes: list[str], litres: float, sugar_g: float) -> None:
    page = "\n".join(f'01T1{n}:00 "mix", {what}' for n, what in enumerate(mixes))
    facts = story(page)
    assert facts.level_l == pytest.approx(litres, abs=0.03)
    assert facts.extract_g == pytest.approx(sugar_g, rel=0.005)


@pytest.mark.parametrize(("share", "whole"), [(1.02, True), (0.985, True), (0.95, False), (0.92, False)])
def test_a_volume_three_per_cent_too_small_is_read_roughly_and_a_smaller_one_is_that_of_its_pot(
    share: float, whole: bool
) -> None:
    # Mixing shrinks honey and water by less than 1 % (sucrose solutions, CRC Handbook: 40 g of 1.588 g/mL and 60 g of
    # 0.9982 are 85.3 mL apart and 85.0 together), and a pot is read to about 2 %. Nine parts in ten are no reading of
    # the whole any more.
    first, second = 2.0, 0.6 / 1.42 + 1.7  # 600 g of honey of 1.42 kg/L and 1.7 L of water
    stated = share * (first + second)
    page = '01T10:00 "mix", honey_g = 600, volume_l = 2.0\n01T11:00 "mix", honey_g = 600, water_l = 1.7'
    assert story(f"{page}, volume_l = {stated}").level_l == pytest.approx(stated if whole else stated + first, abs=0.02)


def test_juice_brings_its_sugar() -> None:
    facts = story('01T18:00 "mix", juice_l = 4.0, juice_sg = 1.050, honey_g = 500')
    # 12.39 °P at 1.050 (ASBC, from memory): 4 L x 1.0481 kg/L x 0.1239
    assert facts.extract_g == pytest.approx(4000 * 1.0481 * 0.1239 + 500 * 0.829, rel=0.002)
    assert not facts.notes
    assert "1.045" in story('01T18:00 "mix", juice_l = 4.0').notes[0]


def test_without_a_mix_the_must_is_the_plan() -> None:
    facts = story('02T18:00 "pitch"')
    assert facts.og == pytest.approx(1.095)
    assert facts.sg_from == "plan"
    assert facts.level_l == pytest.approx(4.2, abs=0.001)
    read = story('01T18:00 "read", sg = 1.101\n02T18:00 "pitch"')
    assert read.og == pytest.approx(1.101)
    assert read.sg_from == "reading"
    assert read.level_l == pytest.approx(4.2, abs=0.001)
    assert read.og_off_by is None  # nothing was weighed that it could be off


def test_a_plan_may_name_a_strength_instead_of_a_gravity() -> None:
    facts = story('02T18:00 "pitch"\n28T18:00 "read", sg = 1.000', {"name": "T", "plan": {"abv_percent": 12.0}})
    assert stands(facts, "29T18:00").abv_percent == pytest.approx(12.0, abs=0.02)
    assert not facts.volume_known
    assert facts.level_l is None


def test_nothing_is_known_of_an_empty_page() -> None:
    facts = replay(Head("Test"), ())
    assert (facts.sg, facts.g0, facts.level_l, facts.pitched_at, facts.last_at) == (None,) * 5
    now = present(facts, at("01T00:00"), BERLIN)
    assert now[:-1] == (None,) * 10


def test_the_original_gravity_corrects_the_honey_and_a_large_error_is_kept() -> None:
    facts = story('01T18:00 "mix", honey_g = 1500, volume_l = 4.5\n01T18:30 "read", sg = 1.115\n01T19:00 "pitch"')
    assert facts.og == pytest.approx(1.115)
    assert facts.og_off_by == pytest.approx(1.115 - 1.1062, abs=0.0002)
    assert facts.level_l == pytest.approx(4.5, abs=0.001)
    assert facts.extract_g > 1243.5


def test_a_second_look_after_stirring_is_compared_with_the_scales_again() -> None:
    facts = story(
        """
        01T18:00 "mix", honey_g = 1500, volume_l = 4.5
        01T18:30 "read", sg = 1.080
        01T18:50 "read", sg = 1.106
        01T19:00 "pitch"
        """
    )
    assert facts.og_off_by == pytest.approx(0.0, abs=0.002)
    assert facts.og == pytest.approx(1.106)


def test_honey_put_in_after_a_look_is_compared_anew() -> None:
    facts = story(
        """
        01T18:00 "mix", honey_g = 1500, volume_l = 4.5
        01T18:30 "read", sg = 1.090
        01T18:40 "mix", honey_g = 100
        """
    )
    assert facts.og_off_by is None
    assert facts.sg_from == "ledger"


def test_a_reading_at_the_instant_of_pitching_is_the_original_gravity() -> None:
    facts = story('01T18:00 "mix", honey_g = 1500, volume_l = 4.5\n01T19:00 "read", sg = 1.101\n01T19:00 "pitch"')
    assert facts.og == pytest.approx(1.101)
    assert facts.fermented_g == 0.0
    assert facts.after_pitch == ()


def test_pitching_again_restarts_nothing() -> None:
    facts = story('01T19:00 "pitch", temp_c = 20\n05T19:00 "pitch", temp_c = 25')
    assert facts.pitched_at == at("01T19:00")
    assert facts.pitch_temp_c == 20.0
    assert stands(facts, "05T20:00").day == 4


def test_a_warm_sample_reads_low_and_an_offset_is_taken_off() -> None:
    page = '01T19:00 "pitch"\n03T19:00 "read", sg = 1.080, temp_c = {}'
    assert story(page.format(20)).sg == pytest.approx(1.080)
    # NBS Circular 440, table 109 (from memory): + 0.40 °Bx at 26 °C for a reading near 20 °Bx; 1 °Bx is 0.0044 there.
    assert story(page.format(26)).sg == pytest.approx(1.080 + 0.40 * 0.0044, abs=0.0002)
    assert story(page.format(20), offset_sg=0.002).sg == pytest.approx(1.078)

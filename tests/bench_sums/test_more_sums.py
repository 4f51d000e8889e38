"""The sums of acid, blending and cellar work against published figures; the source stands beside each."""

from __future__ import annotations

from math import pi

import pytest

from benching import do, number
from fermtui.bench.options import WrongOptions
from fermtui.bench.result import rows
from fermtui.must.composition import from_gravity_and_abv
from fermtui.must.limits import OutOfRange
from fermtui.must.refractometer import refractive_index
from fermtui.must.root_finding import find_root


class TestAcid:
    def test_a_gram_of_tartaric_as_the_others(self) -> None:
        # Molar masses 150.09 (two protons), 134.09 (two), 192.12 (three), 90.08 (one).
        found = do("acid now=1g/L").values
        assert found["as_malic_g_per_l"] == pytest.approx(0.893, abs=0.001)
        assert found["as_citric_g_per_l"] == pytest.approx(0.853, abs=0.001)
        assert found["as_lactic_g_per_l"] == pytest.approx(1.200, abs=0.001)

    def test_bicarbonate_takes_three_quarters_of_its_weight(self) -> None:
        # Ribéreau-Gayon, Handbook of Enology 2, ch. 1: 1 g/L of KHCO3 takes 0.75 g/L told as tartaric.
        assert number("acid now=6g/L to=5.25g/L volume=1L", "add_g") == pytest.approx(1.0, abs=0.005)
        # Chalk and potassium carbonate: two protons of 100.09 and 138.21 g.
        assert number("acid now=6g/L to=4.5g/L volume=1L with=chalk", "add_g") == pytest.approx(1.0, abs=0.005)

    def test_the_way_that_a_means_goes(self) -> None:
        assert do("acid now=4g/L to=6g/L volume=4L").values["means"] == "tartaric"
        with pytest.raises(OutOfRange, match="takes acid away"):
            do("acid now=4g/L to=6g/L volume=4L with=bicarbonate")
        with pytest.raises(OutOfRange, match="adds acid"):
            do("acid now=6g/L to=4g/L volume=4L with=citric")
        with pytest.raises(WrongOptions, match="volume"):
            do("acid now=6g/L to=4g/L")

    def test_a_trial_is_asked_for(self) -> None:
        assert do("acid now=4g/L to=6g/L volume=4L").cautions == ("acid_trial",)


class TestBlend:
    def test_alcohol_and_mass_are_kept(self) -> None:
        found = do("blend volume=4L gravity=1.000 abv=12 with-gravity=1.020 with-abv=14 with-volume=2L").values
        # By litres of ethanol; volumes of two meads add up to a part in a thousand.
        assert found["abv_percent"] == pytest.approx((4 * 12 + 2 * 14) / 6, abs=0.02)
        assert found["sg_20_20"] == pytest.approx((4 * 1.000 + 2 * 1.020) / 6, abs=0.0003)
        assert found["volume_l"] == pytest.approx(6.0, abs=0.01)

    def test_to_a_strength_and_to_a_gravity(self) -> None:
        words = "blend volume=4L gravity=1.000 abv=12 with-gravity=1.020 with-abv=14 "
        assert number(words + "to-abv=13", "second_l") == pytest.approx(4.0, abs=0.03)
        assert number(words + "to=1.005", "second_l") == pytest.approx(4.0 / 3.0, abs=0.02)
        for beyond in ("to-abv=15", "to=1.030"):
            with pytest.raises(OutOfRange, match="between"):
                do(words + beyond)
        with pytest.raises(WrongOptions):
            do(words)
        assert do(words + "to=1.005").cautions == ("blend_live",)


class TestFortify:
    def test_the_worked_example(self) -> None:
        # Mass balance on OIML R 22: 4.00 L at 12.7 % and 0.50 L at 40 % make 4.49 L at 15.8 %, to the last digit.
        found = do("fortify volume=4L gravity=1.000 abv=12.7 spirit-abv=40 spirit=0.5L").values
        assert found["volume_after_l"] == pytest.approx(4.49, abs=0.01)
        assert found["abv_after_percent"] == pytest.approx(15.8, abs=0.1)

    def test_to_a_strength(self) -> None:
        litres = number("fortify volume=4L gravity=1.000 abv=12 spirit-abv=40 to-abv=18", "spirit_l")
        # By the square of Pearson, which leaves the contraction out: 4 * (18 - 12) / (40 - 18).
        assert litres == pytest.approx(4 * 6 / 22, abs=0.02)
        with pytest.raises(OutOfRange):
            do("fortify volume=4L gravity=1.000 abv=12 spirit-abv=40 to-abv=50")
        with pytest.raises(OutOfRange, match="spirit"):
            do("fortify volume=4L gravity=1.000 abv=12 spirit-abv=12 to-abv=14")


class TestWithoutAnOriginalGravity:
    @pytest.mark.parametrize(("sg", "abv"), [(0.996, 12.0), (1.010, 14.0), (1.030, 8.0), (1.000, 5.0)])
    def test_both_instruments_find_the_strength_that_made_them(self, sg: float, abv: float) -> None:
        must = from_gravity_and_abv(1.0, sg, abv)
        index = refractive_index(must.extract_mass_percent, must.ethanol_mass_percent)
        brix = find_root(lambda at: refractive_index(at) - index, 0.0, 50.0, close=1e-9)
        found = do(f"unknown gravity={sg} brix={brix}").values
        assert found["abv_percent"] == pytest.approx(abv, abs=0.05)
        # 0.0005 SG and 0.2 °Bx: about 0.3 % vol together.
        assert found["plus_minus"] == pytest.approx(0.35, abs=0.15)

    def test_a_distillate_by_the_alcohol_table(self) -> None:
        # OIML R 22 at 20 °C: 11 % vol weighs 983.52 g/L and water 998.20, so SG 0.98529.
        assert number("unknown distillate=0.98529", "abv_percent") == pytest.approx(11.0, abs=0.05)

    def test_boiled_off_by_tabarie(self) -> None:
        # Tabarié: the density of the alcohol alone is about 1 + before - after; 0.9853 is 11 % vol (OIML R 22).
        assert number("unknown gravity=1.000 boiled=1.0147", "abv_percent") == pytest.approx(11.0, abs=0.2)

    def test_what_cannot_be(self) -> None:
        for words, reason in (
            ("gravity=1.100 brix=2", "read both again"), ("gravity=1.000 boiled=0.990", "swap them"),
            ("distillate=1.050", "cannot be"),
        ):  # fmt: skip
            with pytest.raises(OutOfRange, match=reason):
                do(f"unknown {words}")
        for words in ("", "brix=5", "boiled=1.01", "brix=5 distillate=0.99 gravity=1.0"):
            with pytest.raises(WrongOptions):
                do(f"unknown {words}")


def test_energy_by_the_regulation() -> None:
    # Regulation (EU) No 1169/2011, Annex XIV: 100 mL at 12.00 % vol, 3 g/L sugar, 6 g/L acid: 275 + 5 + 8 kJ, 69 kcal.
    found = do("energy glass=100mL abv=12 sugar=3g/L acid=6g/L").values
    assert found["energy_kj"] == pytest.approx(275 + 5 + 8, abs=1.0)
    assert found["energy_kcal"] == pytest.approx(66 + 1 + 2, abs=1.0)


def test_pasteurising_units() -> None:
    # Del Vecchio, Dayharsh and Baselt 1951: 1 at 60 °C a minute, ten times as many 6.94 °C warmer.
    assert number("pasteurise temp=60C minutes=15", "units") == pytest.approx(15.0)
    assert number("pasteurise temp=66.94C minutes=1", "units") == pytest.approx(10.0, rel=0.005)
    assert number("pasteurise temp=65C", "minutes_needed") == pytest.approx(50 / 1.393**5)
    with pytest.raises(OutOfRange, match="50 °C"):
        do("pasteurise temp=45C")


@pytest.mark.parametrize(("volumes", "temp_c"), [(2.0, 4.0), (2.5, 5.0), (2.5, 10.0), (3.0, 8.0)])
def test_keg_pressure_beside_the_usual_beer_table(volumes: float, temp_c: float) -> None:
    # The quadratic that is usual for the ASBC's Beer-13 table, its own source unknown: 5 % of the absolute pressure.
    f = temp_c * 9 / 5 + 32
    psi = (
        -16.6999 - 0.0101059 * f + 0.00116512 * f**2 + 0.173354 * f * volumes
        + 4.24267 * volumes - 0.0684226 * volumes**2
    )
    found = number(f"keg fizz={volumes} temp={temp_c}C", "keg_psi")
    assert found + 14.7 == pytest.approx(psi + 14.7, rel=0.06)


def test_a_keg_without_pressure_is_said() -> None:
    with pytest.raises(OutOfRange, match="without pressure"):
        do("keg fizz=0.5 temp=5C")


def test_freezing() -> None:
    # 12 % vol about -5 °C (CRC Handbook, from memory); weak: 1.86 K a mole of ethanol in a kg of water.
    assert number("freeze gravity=0.985 abv=12", "freezing_c") == pytest.approx(-5.0, abs=1.0)
    water_g = 1000 * (0.99 - 0.02 * 0.789)
    ideal = -1.86 * 0.02 * 789 / 46.07 / (water_g / 1000)
    assert number("freeze gravity=0.9971 abv=2", "freezing_c") == pytest.approx(ideal, abs=0.1)


def test_a_vessel_by_tape_and_by_water() -> None:
    # 998.20 kg/m3 at 20 °C (OIML R 22); a cylinder by geometry.
    assert number("size water=4.991kg", "holds_l") == pytest.approx(5.0, abs=0.001)
    assert number(f"size around={pi * 20:.6f} height=30 wall=0", "holds_l") == pytest.approx(pi * 100 * 30 / 1000)
    assert number(f"size around={pi * 20:.6f} height=30 wall=5", "holds_l") == pytest.approx(pi * 9.5**2 * 30 / 1000)
    for wrong in ("", "water=5kg around=60", "around=60"):
        with pytest.raises(WrongOptions):
            do(f"size {wrong}")
    with pytest.raises(OutOfRange):
        do("size around=10 height=30 wall=20")


def test_scales_by_their_definitions() -> None:
    # 20 KMW = 99.6 °Oe and 12 °Bé = 1.0902 (from memory); 18.0 °P = 1.0741 (ICUMSA SPS-4).
    assert number("scales kmw=20", "degrees_oechsle") == pytest.approx(99.6, abs=0.05)
    assert number("scales baume=12", "sg_20_20") == pytest.approx(1.0902, abs=0.0001)
    assert number("scales plato=18", "sg_20_20") == pytest.approx(1.0741, abs=0.0001)
    with pytest.raises(WrongOptions):
        do("scales plato=18 kmw=20")


def test_yeast_and_additives_by_common_practice() -> None:
    # Common practice, no source: half a gram a litre, more above 1.100; bentonite 0.3 to 1 g/L.
    assert number("yeast volume=20L gravity=1.080", "yeast_g") == pytest.approx(10.0)
    assert number("yeast volume=20L gravity=1.130", "yeast_g") == pytest.approx(20.0)
    assert do("additive volume=20L kind=bentonite").values["from_g"] == pytest.approx(6.0)
    assert do("additive volume=20L kind=bentonite").values["trial_up_to_g"] == pytest.approx(0.1)


def test_potential_strength_is_a_table_that_a_handbook_has() -> None:
    table = dict(rows(do("potential end=1.000")))
    assert len(table) == 21
    # The duty table of HMRC (original less present gravity, times its factor): 1.050 x .130, 1.100 x .135 (+- 0.2).
    for gravity, factor in (("1.050", 0.130), ("1.100", 0.135)):
        points = 1000 * (float(gravity) - 1)
        assert float(table[gravity].split()[0]) == pytest.approx(points * factor, abs=0.25)

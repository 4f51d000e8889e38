"""What people type and read, in litres or gallons, grams or ounces, points or commas."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui import units
from fermtui.units import METRIC, Units, Unreadable

AMERICAN = Units(volume="gal", mass="lb", temp="F")
COMMA = Units(decimal_comma=True)
BRIX = Units(gravity="brix")


# NIST Handbook 44, appendix C (the exact definitions, from memory): 231 cubic inches, 0.45359237 kg.
@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("4L", 4.0), ("4", 4.0), ("4,5 l", 4.5), ("750 ml", 0.75), ("75cl", 0.75), ("1gal", 3.785411784),
        ("1 imp gal", 4.54609), ("1 qt", 0.946352946), ("16 fl. oz", 0.473176473), (" 2 litres ", 2.0), (".5 L", 0.5),
    ],
)  # fmt: skip
def test_volumes(text: str, litres: float) -> None:
    assert units.volume_l(text) == pytest.approx(litres, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "grams"),
    [("500", 500.0), ("1.2kg", 1200.0), ("1,2 kg", 1200.0), ("3lb", 1360.77711), ("8 oz", 226.796185), ("50 mg", 0.05)],
)
def test_masses(text: str, grams: float) -> None:
    assert units.mass_g(text) == pytest.approx(grams, rel=1e-12)


def test_a_bare_number_is_in_the_makers_unit() -> None:
    assert units.volume_l("1", AMERICAN) == pytest.approx(units.GALLON_L)
    assert units.mass_g("1", AMERICAN) == pytest.approx(units.POUND_G)
    assert units.temp_c("68", AMERICAN) == pytest.approx(20.0)
    assert units.mass_g("2 kg", AMERICAN) == 2000.0


@pytest.mark.parametrize(("text", "celsius"), [("21", 21), ("-2C", -2), ("68F", 20), ("68 °F", 20), ("293.15 K", 20)])
def test_temperatures(text: str, celsius: float) -> None:
    assert units.temp_c(text) == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("text", "sg"),
    [("1.042", 1.042), ("1,042", 1.042), ("1042", 1.042), ("1042.5", 1.0425), ("998", 0.998), ("1.042 SG", 1.042)],
)
def test_gravities(text: str, sg: float) -> None:
    assert units.gravity_sg(text) == pytest.approx(sg)


# ASBC: 10 °P is 1.0400 at 20/20 (Goldiner, Klemann, Kämpf 1966; from memory).
@pytest.mark.parametrize("text", ["10 bx", "10 P", "10°P", "10 Brix"])
def test_degrees_of_extract(text: str) -> None:
    assert units.gravity_sg(text) == pytest.approx(1.0400, abs=0.0001)
    assert units.gravity_sg("10", BRIX) == pytest.approx(1.0400, abs=0.0001)
    assert units.gravity_sg("1.040", BRIX) == 1.040


@pytest.mark.parametrize(
    ("known", "grams", "shown"),
    [
        (METRIC, [1200.0, 450.0, 750.0], ["1.20 kg", "0.45 kg", "0.75 kg"]),
        (METRIC, [500.0, 20.0], ["500 g", "20 g"]),
        (METRIC, [1.25, 0.5], ["1.2 g", "0.5 g"]),
        (COMMA, [1200.0, 0.0], ["1,20 kg", "0,00 kg"]),
        (AMERICAN, [1360.77711, 226.796185], ["3.00 lb", "0.50 lb"]),
        (AMERICAN, [56.69904625, 28.349523125], ["2.00 oz", "1.00 oz"]),
        (AMERICAN, [58.0, 5.2], ["58 g", "5 g"]),
    ],
)
def test_masses_beside_each_other_are_in_one_unit(known: Units, grams: list[float], shown: list[str]) -> None:
    assert units.show_masses(grams, known) == shown


@pytest.mark.parametrize("scale", list(units.DEGREES))
@pytest.mark.parametrize("sg", [0.990, 1.000, 1.030, 1.095, 1.150])
def test_what_is_shown_in_degrees_reads_back(scale: str, sg: float) -> None:
    known = Units(gravity=scale, brix="hydrometer")
    text = units.show_gravity(sg, known, 4)
    assert text.endswith(units.DEGREES[scale])
    if sg < 1.0 and scale == "brix":  # no refractometer shows less than nothing, and typed they may be one's
        return
    # A tenth of a degree Baumé is 0.7 points, of KMW 0.5, of Brix and Plato 0.4, of Oechsle 0.1.
    assert units.gravity_sg(text) == pytest.approx(sg, abs=0.0005)
    assert units.gravity_sg(text.split()[0], known) == pytest.approx(sg, abs=0.0005)


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (units.volume_l, "abc"), (units.volume_l, ""), (units.volume_l, "-2 L"), (units.volume_l, "3 kg"),
        (units.volume_l, "1e400"), (units.volume_l, "nan"), (units.mass_g, "-5 g"), (units.mass_g, "5 L"),
        (units.temp_c, "21 X"), (units.percent, "12 L"), (units.per_litre_g, "4 kg"), (units.room_m3, "big"),
        (units.gravity_sg, "1.9"), (units.gravity_sg, "400"), (units.gravity_sg, "-4 bx"), (units.gravity_sg, "55 bx"),
        (units.number, "1.2.3"), (units.number, "inf"), (units.number, "٣x"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_with_one_sentence(read: object, text: str) -> None:
    assert callable(read)
    with pytest.raises(Unreadable) as refused:
        read(text)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 300


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (units.volume_l, units.mass_g, units.temp_c, units.gravity_sg):
        try:
            value = read(text)
        except Unreadable:
            continue
        assert value == value
        assert abs(value) < float("inf")


@pytest.mark.parametrize(
    ("shown", "text"),
    [
        (units.show_volume(4.2), "4.2 L"), (units.show_volume(0.75), "0.75 L"),
        (units.show_volume(4.2, AMERICAN), "1.11 gal"), (units.show_mass(0.16), "0.16 g"),
        (units.show_mass(1.1), "1.1 g"), (units.show_mass(500), "500 g"), (units.show_mass(999.7), "1.00 kg"),
        (units.show_mass(1250), "1.25 kg"), (units.show_mass(20, AMERICAN), "20 g"),
        (units.show_mass(566.99, AMERICAN), "1 lb 4.0 oz"),
        # A hair below a pound is a pound, not 16 ounces.
        (units.show_mass(453.5, AMERICAN), "1 lb 0.0 oz"), (units.show_mass(907.1, AMERICAN), "2 lb 0.0 oz"),
        (units.show_temp(19.5), "19.5 °C"), (units.show_temp(21.0), "21 °C"), (units.show_temp(-0.01), "0 °C"),
        (units.show_temp(20, AMERICAN), "68 °F"), (units.show_temp(19.5, COMMA), "19,5 °C"),
        (units.show_gravity(1.0421), "1.042"), (units.show_gravity(1.0421, COMMA, 4), "1,0421"),
        (units.show_gravity(1.040, BRIX), "10.0 °Bx"), (units.show_number(-0.001, 1), "0.0"),
    ],
)  # fmt: skip
def test_shown(shown: str, text: str) -> None:
    assert shown == text


def test_a_dry_mead_has_a_gravity_in_brix_too() -> None:
    assert units.show_gravity(0.996, BRIX) == "-1.0 °Bx"
    assert units.show_gravity(1.0, BRIX) == "0.0 °Bx"


@given(st.floats(0.95, 1.3))
def test_every_gravity_can_be_shown(sg: float) -> None:
    assert units.show_gravity(sg, BRIX).endswith("°Bx")
    assert float(units.show_gravity(sg, METRIC)) == pytest.approx(sg, abs=0.0006)


@pytest.mark.parametrize(("text", "ml"), [("750", 750), ("750mL", 750), ("0.75L", 750), ("12 floz", 354.88)])
def test_a_bare_bottle_size_is_in_millilitres(text: str, ml: float) -> None:
    assert units.bottle_ml(text) == pytest.approx(ml, abs=0.01)


def test_milligrams_a_litre() -> None:
    assert units.per_litre_mg("30") == units.per_litre_mg("30 mg/L") == units.per_litre_mg("0.03 g/L") == 30.0
    with pytest.raises(Unreadable, match="30 mg/L"):
        units.per_litre_mg("30 lb")


@pytest.mark.parametrize(
    ("bar", "text"),
    [(0.14, "0.14 bar"), (0.5, "0.5 bar"), (3.0, "3.0 bar"), (9.23, "9.2 bar"), (63.92, "more than 16 bar")],
)
def test_a_pressure_is_shown_as_far_as_it_tells_anything(bar: float, text: str) -> None:
    # 16 bar: what bottles for sparkling wine burst at (must/tables/pressure_lines.csv).
    assert units.show_bar(bar) == text

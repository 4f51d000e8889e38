"""The table of what goes into a must: names in several languages, and amounts against published figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.must.csv_tables import rows
from fermtui.must.substances import folded, poured, substance, substances, with_alcohol

NAMES = {
    "water": ["tap water", "spring water", "Leitungswasser", "eau du robinet", "agua", "acqua", "Woda", "black tea"],
    "sugar": ["Zucker", "Rohrzucker", "sucre de canne", "azúcar", "zucchero", "cukier", "corn sugar"],
    "juice": ["juice", "apple juice, no sugar added", "Apfelsaft", "jus de pomme", "sok jabłkowy", "sweet cider"],
    "grape juice": ["Traubensaft", "jus de raisin", "white grape juice"],
    "grape must": ["grape must", "Traubenmost", "moût"],
    "lemon juice": ["lemon juice", "Zitronensaft", "zumo de limón"],
    "liquid malt": ["malt extract", "Malzextrakt", "extrait de malt"],
    "dry malt": ["dry malt extract", "light dried malt extract"],
    "dried fruit": ["raisins", "Rosinen", "rodzynki", "raisins soaked in rum"],
    "jam": ["strawberry jam", "Marmelade", "confiture", "dżem"],
    "puree": ["mango puree", "Himbeermark", "purée de framboise"],
    "sweetener": ["erythritol", "sugar-free sweetener", "birch sugar", "Birkenzucker", "édulcorant"],
    "intense sweetener": ["stevia", "Süßstoff"],
    "lactose": ["lactose", "milk sugar", "Milchzucker"],
    "wine": ["white wine", "Weißwein", "elderberry wine", "vin"],
    "cider": ["cider", "dry cider", "Apfelwein"],
    "spirit": ["vodka", "Obstbrand", "eau-de-vie", "wódka"],
    "neutral spirit": ["Weingeist", "96 % neutral spirit", "spirytus"],
    "oak": ["oak chips soaked in must", "Eichenchips", "oak in bourbon", "toasted oak cubes"],
    "spice": ["lemon zest", "honeysuckle flowers", "Holunderblüten", "vanilla", "Orangenschale", "cocoa nibs"],
    "acid": ["tartaric acid", "Weinsäure", "acid blend", "Kwasek"],
    "finings": ["bentonite slurry", "wine yeast", "pectic enzyme", "grape tannin", "Reinzuchthefe"],
    "honey": ["heather honey", "Waldhonig", "miel de lavande", "miód"],
    "mead": ["mead", "Met", "hydromel"],
}


@pytest.mark.parametrize(("key", "name"), [(key, name) for key, names in NAMES.items() for name in names])
def test_names(key: str, name: str) -> None:
    found = substance(name)
    assert found is not None
    assert found.key == key


@pytest.mark.parametrize("name", ["kvass", "a mystery", "", "123", "…", None])
def test_what_no_row_names_is_unknown(name: str | None) -> None:
    assert substance(name) is None


def test_no_name_stands_in_two_rows_and_every_name_is_folded() -> None:
    names = [name for row in rows("substances") for name in row["words"].split(";")]
    assert sorted(names) == sorted(set(names))
    assert [name for name in names if " ".join(folded(name)) != name.lstrip("*")] == []


def test_every_row_can_be_and_names_its_source() -> None:
    for one in substances():
        assert one.source
        assert 0.0 <= one.sugar_percent + one.unfermentable_percent + one.water_percent <= 100.0
        assert 400.0 <= one.g_per_l <= 1450.0
        assert one.sugar_free == (one.group in ("water", "free", "inert", "spirit") and not one.sugar_percent)


# OIML R 22, table of density by strength at 20 °C, from memory: 948.05 kg/m3 at 40 % vol, 807.4 at 96 % vol.
@pytest.mark.parametrize(("abv", "kg_per_m3"), [(40.0, 948.05), (96.0, 807.4), (0.0, 998.2)])
def test_a_spirit_weighs_what_the_published_table_says(abv: float, kg_per_m3: float) -> None:
    must = with_alcohol(1.0, abv)
    assert must.mass_g == pytest.approx(kg_per_m3, abs=0.3)
    assert must.volume_l == pytest.approx(1.0, abs=1e-6)


# Density of the row against the density formulas (ICUMSA, OIML): the two columns are written independently.
def test_the_density_of_a_drink_fits_what_is_in_it() -> None:
    for one in substances():
        if one.group in ("alcoholic", "spirit") or one.key.endswith("juice"):
            must = poured(one, volume_l=1.0).must
            assert must.mass_g == pytest.approx(one.g_per_l, rel=0.02), one.key


# USDA SR28, from memory: sugar of 100 g of raisins 59.2 g; apple juice 9.6 g; grape juice 14.2 g; agave syrup 68 to 77.
@pytest.mark.parametrize(
    ("name", "sugar_percent"), [("raisins", 59.2), ("apple juice", 9.6), ("grape juice", 14.2), ("lemon juice", 2.5)]
)
def test_sugar_by_the_food_tables(name: str, sugar_percent: float) -> None:
    found = substance(name)
    assert found is not None
    assert found.sugar_percent == pytest.approx(sugar_percent, abs=0.05)


@given(st.sampled_from(substances()), st.floats(0.0, 5000.0))
def test_nothing_weighs_more_inside_than_outside(one: object, mass_g: float) -> None:
    row = next(row for row in substances() if row == one)
    found = poured(row, mass_g=mass_g)
    assert 0.0 <= found.unfermentable_g <= found.must.sugar_g + 1e-9
    assert found.must.mass_g <= mass_g * 1.02 + 1e-6


@given(st.text(max_size=300))
def test_any_text_is_looked_up(text: str) -> None:
    assert substance(text) is None or substance(text) in substances()

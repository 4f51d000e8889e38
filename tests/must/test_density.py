"""Density of mixtures: the limits of the model and its ranges (the published tables are in tests/published)."""

import pytest

from fermtui.must.density import (
    RHO_ETHANOL_20,
    RHO_WATER_20,
    mixture_density,
    rho_ethanol_water,
    rho_sugar_water,
    rho_water,
)
from fermtui.must.limits import OutOfRange


def test_the_constants_are_those_of_the_table() -> None:
    assert rho_water(20.0) == RHO_WATER_20
    assert rho_ethanol_water(1.0, 20.0) == pytest.approx(RHO_ETHANOL_20, abs=1e-6)


@pytest.mark.parametrize("t_c", [-5.0, 4.0, 20.0, 33.3, 40.0])
def test_exact_where_sugar_or_ethanol_is_absent(t_c: float) -> None:
    assert mixture_density(900.0, 0.0, 100.0, t_c) == pytest.approx(rho_ethanol_water(0.1, t_c), abs=1e-9)
    assert mixture_density(800.0, 200.0, 0.0, t_c) == pytest.approx(rho_sugar_water(0.2, t_c), abs=1e-9)
    assert mixture_density(500.0, 0.0, 0.0, t_c) == pytest.approx(rho_water(t_c), abs=1e-9)


# The same formulas by another program (trust: computed, not published): % mass, kg/m3 at 10, 15, 20, 25, 30 °C.
ETHANOL = [
    (1, 997.792, 997.198, 996.309, 995.151, 993.746),
    (10, 983.930, 983.031, 981.848, 980.406, 978.731),
    (19, 973.626, 971.886, 969.929, 967.768, 965.414),
]
SUCROSE = [
    (2, 1007.563, 1006.907, 1005.961, 1004.758, 1003.321),
    (20, 1083.559, 1082.381, 1080.977, 1079.371, 1077.581),
    (45, 1206.582, 1204.668, 1202.617, 1200.443, 1198.154),
]


@pytest.mark.parametrize("row", ETHANOL)
def test_ethanol_at_five_temperatures(row: tuple[float, ...]) -> None:
    for t_c, rho in zip((10, 15, 20, 25, 30), row[1:], strict=True):
        assert rho_ethanol_water(row[0] / 100, t_c) == pytest.approx(rho, abs=0.001)


@pytest.mark.parametrize("row", SUCROSE)
def test_sugar_at_five_temperatures(row: tuple[float, ...]) -> None:
    for t_c, rho in zip((10, 15, 20, 25, 30), row[1:], strict=True):
        assert rho_sugar_water(row[0] / 100, t_c) == pytest.approx(rho, abs=0.005)


@pytest.mark.parametrize(("sugar", "ethanol", "sg"), [(5, 8, 1.00569), (12.5, 10, 1.03265), (20, 12, 1.06107)])
def test_sugar_and_ethanol_together(sugar: float, ethanol: float, sg: float) -> None:
    """The additive model by another program; the older sum of Tabarie gives 1.00564, 1.03249, 1.06077."""
    assert mixture_density(100 - sugar - ethanol, sugar, ethanol) / RHO_WATER_20 == pytest.approx(sg, abs=0.00001)


@pytest.mark.parametrize("t_c", [-80.0, -5.1, 40.1, float("nan"), float("inf")])
def test_temperatures_outside_the_tables_are_refused(t_c: float) -> None:
    with pytest.raises(OutOfRange, match=r"temperature .* is outside -5 to 40 °C"):
        rho_water(t_c)


def test_other_nonsense_is_refused() -> None:
    with pytest.raises(OutOfRange, match="sugar -1 g is outside 0 to 100 000 000 g"):
        mixture_density(1.0, -1.0, 0.0)
    with pytest.raises(OutOfRange, match="nothing has no density"):
        mixture_density(0.0, 0.0, 0.0)
    with pytest.raises(OutOfRange, match=r"ethanol 1\.5 is outside 0 to 1"):
        rho_ethanol_water(1.5, 20.0)

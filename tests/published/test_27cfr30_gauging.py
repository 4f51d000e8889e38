"""Strong spirit against US federal gauging rules, 27 CFR 30.66 (edition 2015): the far end of the ethanol table.

US proof is twice the % vol at 60 °F (15.56 °C).
"""

import pytest

from fermtui.must.density import rho_ethanol_water, rho_water
from fermtui.must.root_finding import find_root

SIXTY_F = 15.56
AIR = 1.2
PURE = rho_ethanol_water(1.0, SIXTY_F)


def mass_share(vol_percent: float) -> float:
    def over(share: float) -> float:
        return 100 * share * rho_ethanol_water(share, SIXTY_F) / PURE - vol_percent

    share = find_root(over, 0.0, 1.0, close=1e-9)
    assert share is not None
    return share


def test_gravity_in_air_at_141_proof() -> None:
    in_air = rho_ethanol_water(mass_share(70.5), SIXTY_F) - AIR
    assert in_air / (rho_water(SIXTY_F) - AIR) == pytest.approx(0.88862, abs=0.0001)


@pytest.mark.parametrize(("proof", "water_parts"), [(100, 53.73), (112, 47.75), (188, 7.36), (191, 5.59)])
def test_parts_of_water_in_a_hundred_volumes(proof: int, water_parts: float) -> None:
    share = mass_share(proof / 2)
    water_g = (1 - share) * rho_ethanol_water(share, SIXTY_F)
    assert 100 * water_g / rho_water(SIXTY_F) == pytest.approx(water_parts, abs=0.03)

"""The running ledger: how much water, sugar and ethanol are in a vessel, and what an act does to them.

`sugar_g` is extract: all that weighs like sugar, of which a few percent never ferment. Volumes are at 20 °C.
"""

from typing import Literal, NamedTuple, Self

from fermtui.must.density import MOST_G, RHO_ETHANOL_20, RHO_WATER_20, curve_at, mixture_volume
from fermtui.must.limits import OutOfRange, within
from fermtui.must.root_finding import find_root

EXTRACT_PER_ETHANOL = 2.0665
"""g of extract lost for each g of ethanol: Balling, as quoted in Speers, Brewing Calculations (2015)."""
LOWEST_SG = 0.85
HIGHEST_SG = 1.45
MOST_L = 50_000.0
CLOSE_SG = 1e-9
NOTHING_G = 1e-6

_WHY_MASS = "a vessel holds no less than nothing and less than a hundred tonnes"
_WHY_SG = "weaker than 0.85 is spirit and heavier than 1.45 is honey, neither is a must"
_WHY_VOLUME = "it is the volume of a must in litres"
_EMPTY = "the vessel is empty, so it has neither gravity nor strength: add something first"


class _Masses(NamedTuple):
    water_g: float
    sugar_g: float
    ethanol_g: float


class Must(_Masses):
    """Water, sugar and ethanol in g, each 0 to 1e8. Raises OutOfRange otherwise.

    A tuple and no dataclass: those cost a plain command 7 ms of its start.
    """

    __slots__ = ()

    def __new__(cls, water_g: float = 0.0, sugar_g: float = 0.0, ethanol_g: float = 0.0) -> Self:
        if not (0.0 <= water_g <= MOST_G and 0.0 <= sugar_g <= MOST_G and 0.0 <= ethanol_g <= MOST_G):
            for name, mass_g in (("water", water_g), ("sugar", sugar_g), ("ethanol", ethanol_g)):
                within(name, mass_g, 0.0, MOST_G, "g", _WHY_MASS)
        return super().__new__(cls, water_g, sugar_g, ethanol_g)

    @property
    def is_empty(self) -> bool:
        """True below a microgram: such a rest has no gravity and no strength."""
        return self.mass_g < NOTHING_G

    @property
    def mass_g(self) -> float:
        return self.water_g + self.sugar_g + self.ethanol_g

    @property
    def volume_l(self) -> float:
        """Litres at 20 °C."""
        return mixture_volume(self.water_g, self.sugar_g, self.ethanol_g, curve_at(20.0))

    @property
    def sg(self) -> float:
        """Specific gravity 20/20. Raises OutOfRange for an empty vessel."""
        return self.held_g / self.held_l / RHO_WATER_20

    @property
    def abv_percent(self) -> float:
        """% vol at 20 °C. Raises OutOfRange for an empty vessel."""
        return 100.0 * self.ethanol_g / RHO_ETHANOL_20 / self.held_l

    @property
    def sugar_g_per_l(self) -> float:
        """Extract, not fermentable sugar, in g/L at 20 °C. Raises OutOfRange for an empty vessel."""
        return self.sugar_g / self.held_l

    @property
    def extract_mass_percent(self) -> float:
        """Real extract in g/100 g (degrees Plato while no ethanol is there). Raises OutOfRange when empty."""
        return 100.0 * self.sugar_g / self.held_g

    @property
    def ethanol_mass_percent(self) -> float:
        """g/100 g. Raises OutOfRange for an empty vessel."""
        return 100.0 * self.ethanol_g / self.held_g

    @property
    def held_g(self) -> float:
        """mass_g, but OutOfRange instead of nothing."""
        mass_g = self.mass_g
        if mass_g < NOTHING_G:
            raise OutOfRange(_EMPTY)
        return mass_g

    @property
    def held_l(self) -> float:
        """volume_l, but OutOfRange instead of nothing."""
        if self.is_empty:
            raise OutOfRange(_EMPTY)
        return self.volume_l


EMPTY = Must()


def mix(*musts: Must) -> Must:
    """All of them together. Raises OutOfRange above 1e8 g."""
    return Must(
        sum(must.water_g for must in musts),
        sum(must.sugar_g for must in musts),
        sum(must.ethanol_g for must in musts),
    )


def take_share(must: Must, share: float) -> tuple[Must, Must]:
    """(taken, left) for a share of 0 to 1; both have the composition of the whole."""
    within("share", share, 0.0, 1.0, "", "no more can leave than is there")
    taken = Must(must.water_g * share, must.sugar_g * share, must.ethanol_g * share)
    left = Must(must.water_g - taken.water_g, must.sugar_g - taken.sugar_g, must.ethanol_g - taken.ethanol_g)
    return taken, left


def take_volume(must: Must, volume_l: float) -> tuple[Must, Must]:
    """(taken, left) for litres at 20 °C. Raises OutOfRange for more than there is."""
    within("volume taken", volume_l, 0.0, MOST_L, "L", _WHY_VOLUME)
    if volume_l == 0.0:
        return EMPTY, must
    there_l = must.volume_l
    if volume_l > there_l * (1.0 + 1e-9):
        raise OutOfRange(f"volume taken {volume_l:.4g} L is more than the {there_l:.4g} L that are there")
    return take_share(must, min(1.0, volume_l / there_l))


def ferment(must: Must, extract_g: float) -> Must:
    """The must after the yeast has taken extract_g (0 to all sugar): each 2.0665 g leave 1 g of ethanol (Balling)."""
    within("extract fermented", extract_g, 0.0, must.sugar_g * (1.0 + 1e-9), "g", "yeast eats no more than is there")
    extract_g = min(extract_g, must.sugar_g)
    return Must(must.water_g, must.sugar_g - extract_g, must.ethanol_g + extract_g / EXTRACT_PER_ETHANOL)


def ferment_to(must: Must, sg: float) -> tuple[Must, float]:
    """(must fermented down to SG 20/20, g of extract that took).

    At or above its present gravity the must comes back unchanged with 0.0. Raises OutOfRange below the gravity at
    which all extract is gone (`lowest_sg`): there must have been more sugar than the ledger knows.
    """
    within("gravity", sg, LOWEST_SG, HIGHEST_SG, "SG", _WHY_SG)
    if sg >= must.sg:
        return must, 0.0
    water_g, sugar_g, ethanol_g, curve = must.water_g, must.sugar_g, must.ethanol_g, curve_at(20.0)
    wanted = sg * RHO_WATER_20

    def above(extract_g: float) -> float:
        rest_g, spirit_g = sugar_g - extract_g, ethanol_g + extract_g / EXTRACT_PER_ETHANOL
        return (water_g + rest_g + spirit_g) / mixture_volume(water_g, rest_g, spirit_g, curve) - wanted

    extract_g = find_root(above, 0.0, sugar_g, close=CLOSE_SG * RHO_WATER_20)
    if extract_g is None:
        raise OutOfRange(
            f"gravity {sg:.4f} is below {lowest_sg(must):.4f}, where this must has no extract left: "
            "more sugar went in than was written down"
        )
    return ferment(must, extract_g), extract_g


def lowest_sg(must: Must) -> float:
    """SG 20/20 with every gram of extract fermented."""
    return ferment(must, must.sugar_g).sg


def unferment(must: Must, extract_g: float) -> Must:
    """The must before the yeast had taken extract_g; no more ethanol goes back than is there."""
    within("extract fermented", extract_g, 0.0, MOST_G, "g", _WHY_MASS)
    return Must(must.water_g, must.sugar_g + extract_g, max(0.0, must.ethanol_g - extract_g / EXTRACT_PER_ETHANOL))


def potential_abv(must: Must, end_sg: float) -> float:
    """% vol once fermented down to end_sg; the present strength when it stands there already."""
    return ferment_to(must, end_sg)[0].abv_percent


def sg_at_strength(must: Must, abv_percent: float) -> float | None:
    """The SG 20/20 at which a must has fermented to so many % vol; None where its sugar does not take it there."""
    if must.abv_percent >= abv_percent:
        return must.sg
    if ferment(must, must.sugar_g).abv_percent < abv_percent:
        return None
    low, high = 0.0, must.sugar_g
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if ferment(must, middle).abv_percent < abv_percent else (low, middle)
    return ferment(must, high).sg


def from_gravity(volume_l: float, sg: float) -> Must:
    """Litres at 20 °C of a must without alcohol, by its SG 20/20 (1.000 to 1.450)."""
    within("gravity", sg, 1.0, HIGHEST_SG, "SG", "below 1.000 there is alcohol in it, and above 1.45 it is honey")
    return _with_ethanol(volume_l, sg, 0.0)


def from_gravity_and_abv(volume_l: float, sg: float, abv_percent: float, *, spirit: bool = False) -> Must:
    """Litres at 20 °C of a mead, by its SG 20/20 and % vol (0 to 30), as for a topping up; of a spirit up to 96.5."""
    if spirit:
        within("gravity", sg, 0.78, HIGHEST_SG, "SG", "nothing that is poured is lighter than pure alcohol")
        within("strength", abv_percent, 0.0, 96.5, "% vol", "no still goes further")
    else:
        within("gravity", sg, LOWEST_SG, HIGHEST_SG, "SG", _WHY_SG)
        within("strength", abv_percent, 0.0, 30.0, "% vol", "no mead is stronger unless spirit was added")
    return _with_ethanol(volume_l, sg, abv_percent / 100.0 * volume_l * RHO_ETHANOL_20)


def with_gravity(must: Must, sg: float, keep: Literal["volume", "water"] = "volume") -> Must:
    """The must corrected to a measured SG 20/20, its ethanol as it was.

    keep="volume": the same litres at 20 °C, sugar and water shifted (the honey was wetter or drier than reckoned).
    keep="water": the same water, sugar changed. Raises OutOfRange when no sugar at all would still be too heavy.
    """
    within("gravity", sg, LOWEST_SG, HIGHEST_SG, "SG", _WHY_SG)
    if must.is_empty:
        raise OutOfRange("the vessel is empty, so a gravity says nothing about it: write what went in first")
    if keep == "volume":
        return _with_ethanol(must.held_l, sg, must.ethanol_g)
    curve, wanted = curve_at(20.0), sg * RHO_WATER_20

    def above(sugar_g: float) -> float:
        mass_g = must.water_g + sugar_g + must.ethanol_g
        return mass_g / mixture_volume(must.water_g, sugar_g, must.ethanol_g, curve) - wanted

    base_g = must.water_g + must.ethanol_g
    most_g = min(MOST_G, 20.0 * base_g)
    sugar_g = find_root(above, 0.0, most_g, close=CLOSE_SG * RHO_WATER_20) if base_g >= NOTHING_G else None
    if sugar_g is None:
        raise OutOfRange(_no_such_must(sg, must.abv_percent))
    return Must(must.water_g, sugar_g, must.ethanol_g)


def _with_ethanol(litres: float, sg: float, ethanol_g: float) -> Must:
    within("volume", litres, 0.0, MOST_L, "L", _WHY_VOLUME)
    rest_g = sg * RHO_WATER_20 * litres - ethanol_g
    if litres == 0.0:
        return EMPTY
    if rest_g < 0.0:
        raise OutOfRange(_no_such_must(sg, 100.0 * ethanol_g / RHO_ETHANOL_20 / litres))
    curve = curve_at(20.0)

    def too_big(sugar_g: float) -> float:
        return mixture_volume(rest_g - sugar_g, sugar_g, ethanol_g, curve) / litres - 1.0

    sugar_g = find_root(too_big, 0.0, rest_g, close=CLOSE_SG)
    if sugar_g is None:
        raise OutOfRange(_no_such_must(sg, 100.0 * ethanol_g / RHO_ETHANOL_20 / litres))
    return Must(rest_g - sugar_g, sugar_g, ethanol_g)


def _no_such_must(sg: float, abv_percent: float) -> str:
    return (
        f"nothing of {abv_percent:.3g} % vol stands at {sg:.4f}, not even without sugar: "
        "one of the two is mistaken, measure the gravity again"
    )

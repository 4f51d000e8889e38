"""Honey by mass balance: recipes, sweetening, feeding and blending.

All that is not water in a honey counts as extract. No rule of points per pound is used anywhere: what a kilogram of
honey does depends on the litres that it becomes part of.
"""

from collections.abc import Callable
from math import log10
from typing import NamedTuple

from fermtui.must.composition import (
    CLOSE_SG,
    EMPTY,
    EXTRACT_PER_ETHANOL,
    MOST_L,
    Must,
    ferment_to,
    from_gravity,
    from_gravity_and_abv,
    mix,
    unferment,
)
from fermtui.must.density import MOST_G, RHO_WATER_20
from fermtui.must.limits import OutOfRange, within
from fermtui.must.root_finding import find_root

MOISTURE_PERCENT = 17.1
"""g water per 100 g of the average honey: USDA nutrient data base, record 19296. Shown and editable as a default."""
USUAL_JUICE_SG = 1.045  # an ordinary apple juice: estimate, no source
_WHY_MOISTURE = "drier honey does not flow and wetter honey ferments in the jar (law stops at 20 to 25 %)"
_WHY_STRENGTH = "no yeast goes further"
_WHY_SYRUP = "lighter is spirit and heavier is syrup"
_WHY_HONEY = "it is the mass of honey"
_CLOSE_ABV = 1e-7
_MOST_FEEDS = 30


class Recipe(NamedTuple):
    """What to weigh and measure (water and juice at 20 °C) for `must`, which stands at its `sg` before pitching."""

    honey_g: float
    water_l: float
    juice_l: float
    must: Must


def honey_must(mass_g: float, moisture_percent: float = MOISTURE_PERCENT) -> Must:
    """Honey (g) as water and extract; moisture 10 to 30 g/100 g. Raises OutOfRange."""
    wet = _moisture(moisture_percent)
    within("honey", mass_g, 0.0, MOST_G, "g", _WHY_HONEY)
    return Must(mass_g * wet, mass_g * (1.0 - wet), 0.0)


def water_must(volume_l: float) -> Must:
    """Litres of water measured at 20 °C."""
    within("water", volume_l, 0.0, MOST_L, "L", "it is the water of one must")
    return Must(volume_l * RHO_WATER_20, 0.0, 0.0)


def juice_must(volume_l: float, sg: float) -> Must:
    """Litres of fresh juice at 20 °C by its SG 20/20 (1.000 to 1.450)."""
    return from_gravity(volume_l, sg)


def moisture_from_refractive_index(n: float) -> float:
    """g water per 100 g of honey from its n at 20 °C (1.474 to 1.504).

    Source: Wedmore's fit to Chataway's table, AOAC 969.38 (formula from memory; the IHC table follows within 0.03).
    """
    within("refractive index of honey", n, 1.474, 1.504, "", "the table of honey runs from 13 to 25 % water")
    return (-0.26810 - log10(n - 1.0)) / 0.002243


def recipe(volume_l: float, gravity: float, moisture_percent: float = MOISTURE_PERCENT) -> Recipe:
    """Honey and water for litres at 20 °C of a wanted SG 20/20 (1.000 up to that of the honey itself)."""
    return _fill(from_gravity(volume_l, gravity), EMPTY, 0.0, moisture_percent)


def recipe_with_juice(
    volume_l: float,
    gravity: float,
    juice_sg: float,
    juice_l: float | None = None,
    moisture_percent: float = MOISTURE_PERCENT,
) -> Recipe:
    """As `recipe`, with juice in place of all water (juice_l None) or so many litres of it and water for the rest.

    Raises OutOfRange when the juice alone is heavier than wanted or takes more room than there is.
    """
    wanted, wet = from_gravity(volume_l, gravity), _moisture(moisture_percent)
    if juice_l is not None:
        return _fill(wanted, juice_must(juice_l, juice_sg), juice_l, moisture_percent)
    juice = from_gravity(1.0, juice_sg)
    # honey h and juice j litres: h * wet + j * juice.water = water; h * (1 - wet) + j * juice.sugar = sugar
    det = wet * juice.sugar_g - (1.0 - wet) * juice.water_g
    honey_g = (wanted.water_g * juice.sugar_g - wanted.sugar_g * juice.water_g) / det if det else -1.0
    if honey_g < -1e-6 * wanted.mass_g:
        raise OutOfRange(f"juice of {juice_sg:.3f} is heavier than the {gravity:.3f} wanted: put water to it")
    litres = (wet * wanted.sugar_g - (1.0 - wet) * wanted.water_g) / det
    if litres < 0.0:
        raise OutOfRange(_too_heavy(gravity, moisture_percent))
    return Recipe(max(0.0, honey_g), 0.0, litres, wanted)


def recipe_for_strength(
    volume_l: float, abv_percent: float, end_sg: float, moisture_percent: float = MOISTURE_PERCENT
) -> Recipe:
    """Honey and water for a must of litres at 20 °C that, fermented to end_sg, has so many % vol.

    The gravity to start from is the recipe's `must.sg`.
    """
    finished = from_gravity_and_abv(1.0, end_sg, abv_percent)
    start = unferment(finished, finished.ethanol_g * EXTRACT_PER_ETHANOL)
    return recipe(volume_l, start.sg, moisture_percent)


def honey_to_sweeten(must: Must, to_sg: float, moisture_percent: float = MOISTURE_PERCENT) -> float:
    """g of honey that lift a must or mead to SG 20/20, its own water and volume counted; 0.0 when it stands there.

    Raises OutOfRange for a gravity below the present one or at which it would be nearly all honey.
    """
    now, wet = must.sg, _moisture(moisture_percent)
    within("gravity", to_sg, 0.95, 1.30, "SG", _WHY_SYRUP)
    if to_sg < now - CLOSE_SG:
        raise OutOfRange(f"gravity {to_sg:.4f} is below the present {now:.4f}: honey only makes it heavier")

    def above(honey_g: float) -> float:
        return Must(must.water_g + honey_g * wet, must.sugar_g + honey_g * (1.0 - wet), must.ethanol_g).sg - to_sg

    return _honey(above, must, to_sg, CLOSE_SG)


def honey_for_strength(
    must: Must, abv_percent: float, end_sg: float, moisture_percent: float = MOISTURE_PERCENT
) -> float:
    """g of honey to feed to a fermenting must, in all, so that it has so many % vol once it stands at end_sg.

    Give it in several feeds: `step_feeds` says how much and when. 0.0 when it gets there by itself.
    Raises OutOfRange for a strength that no amount of honey reaches.
    """
    wet = _moisture(moisture_percent)
    within("strength", abv_percent, 0.0, 25.0, "% vol", _WHY_STRENGTH)

    def short(honey_g: float) -> float:
        fed = Must(must.water_g + honey_g * wet, must.sugar_g + honey_g * (1.0 - wet), must.ethanol_g)
        return ferment_to(fed, end_sg)[0].abv_percent - abv_percent

    if short(0.0) >= 0.0:
        return 0.0
    return _honey(short, must, end_sg, _CLOSE_ABV)


def step_feeds(
    must: Must,
    abv_percent: float,
    end_sg: float,
    *,
    feed_at_sg: float,
    up_to_sg: float,
    moisture_percent: float = MOISTURE_PERCENT,
) -> tuple[float, ...]:
    """g of honey of each feed on the way to a strength: every time it has fallen to feed_at_sg, back to up_to_sg.

    The sum is `honey_for_strength`. Raises OutOfRange, also for more than 30 feeds.
    """
    within("gravity at the end", end_sg, 0.95, 1.30, "SG", _WHY_SYRUP)
    within("gravity to feed up to", up_to_sg, 0.95, 1.30, "SG", _WHY_SYRUP)
    within(
        "gravity to feed at", feed_at_sg, end_sg, up_to_sg - 0.002, "SG", "a feed lifts it from there to the upper one"
    )
    left_g = honey_for_strength(must, abv_percent, end_sg, moisture_percent)
    given: list[float] = []
    while left_g > 0.0:
        if len(given) == _MOST_FEEDS:
            raise OutOfRange(f"more than {_MOST_FEEDS} feeds: let it fall further or lift it higher each time")
        must = ferment_to(must, feed_at_sg)[0]
        honey_g = min(left_g, honey_to_sweeten(must, max(up_to_sg, must.sg), moisture_percent))
        if honey_g <= 0.0:
            raise OutOfRange(f"gravity {must.sg:.4f} is above {up_to_sg:.4f} already: no feed fits below it")
        given.append(honey_g)
        must, left_g = mix(must, honey_must(honey_g, moisture_percent)), left_g - honey_g
    return tuple(given)


def blend_to_gravity(first: Must, second: Must, sg: float, volume_l: float) -> tuple[float, float]:
    """(litres of first, litres of second) that give volume_l at SG 20/20; their present amounts do not matter.

    Litres at 20 °C; they may miss volume_l by a little, as mixing changes it. Raises OutOfRange when sg is not between.
    """
    within("gravity", sg, 0.95, 1.30, "SG", _WHY_SYRUP)
    return _blend(first, second, lambda must: must.sg - sg, f"gravity {sg:.4f}", volume_l, CLOSE_SG)


def _blend(
    first: Must, second: Must, off: Callable[[Must], float], wanted: str, volume_l: float, close: float
) -> tuple[float, float]:
    within("volume", volume_l, 0.0, MOST_L, "L", "it is the volume of the blend")
    first_g, second_g = first.held_g, second.held_g

    def of(share: float) -> Must:
        """One gram of the blend, of which `share` is the second."""
        a, b = (1.0 - share) / first_g, share / second_g
        return Must(
            first.water_g * a + second.water_g * b,
            first.sugar_g * a + second.sugar_g * b,
            first.ethanol_g * a + second.ethanol_g * b,
        )

    share = find_root(lambda x: off(of(x)), 0.0, 1.0, close=close)
    if share is None:
        raise OutOfRange(f"{wanted} does not lie between the two: a blend never leaves the room between its parts")
    blend_g = volume_l / of(share).volume_l
    return blend_g * (1.0 - share) / first_g * first.volume_l, blend_g * share / second_g * second.volume_l


def _honey(short: Callable[[float], float], must: Must, sg: float, close: float) -> float:
    most_g = min(30.0 * must.held_g, 0.5 * MOST_G)
    honey_g = find_root(short, 0.0, most_g, close=close)
    if honey_g is None:
        raise OutOfRange(f"no amount of honey brings this must to that (gravity {sg:.3f}): it would be honey by then")
    return honey_g


def _fill(wanted: Must, juice: Must, juice_l: float, moisture_percent: float) -> Recipe:
    wet = _moisture(moisture_percent)
    honey_g = (wanted.sugar_g - juice.sugar_g) / (1.0 - wet)
    water_g = wanted.water_g - juice.water_g - honey_g * wet
    if honey_g < -1e-6 * wanted.mass_g:
        raise OutOfRange(f"{juice_l:g} L of juice bring more sugar than the {wanted.sg:.3f} wanted: take less of it")
    if water_g < -1e-6 * wanted.mass_g:
        if juice_l > 0.0:
            raise OutOfRange(
                f"{juice_l:g} L of juice and the honey for it overflow {wanted.volume_l:g} L: take less of it"
            )
        raise OutOfRange(_too_heavy(wanted.sg, moisture_percent))
    return Recipe(max(0.0, honey_g), max(0.0, water_g) / RHO_WATER_20, juice_l, wanted)


def _moisture(moisture_percent: float) -> float:
    return within("moisture of honey", moisture_percent, 10.0, 30.0, "%", _WHY_MOISTURE) / 100.0


def _too_heavy(gravity: float, moisture_percent: float) -> str:
    return f"gravity {gravity:.3f} is more than honey of {moisture_percent:g} % water has by itself: want less"

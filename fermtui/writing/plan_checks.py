"""Whether a plan is one that a mead maker can mean: what cannot be is refused, what is unusual is said in a sentence.

The lines are common practice, no source, where nothing else is said.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from fermtui.must.preservatives import WaysOut, sorbate_dose
from fermtui.replay.stabilised import USUAL_PH
from fermtui.units import METRIC, Units, show_gravity, show_number, show_volume
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.cellar.store import CellarStore
    from fermtui.writing.wanted import Wanted

LIGHT_SG = 1.030
STRESS_SG = 1.150
THICK_SG = 1.200
MOST_SG = 1.250
STRONGEST_ABV = 18.0  # about what the most tolerant yeasts reach
HOME_L = 100.0
MOST_L = 2000.0  # what an entry may hold
FILL_SHARE_MOST = 0.80  # NDSU: not above the shoulder while it ferments; the share is common practice


def too_much(volume_l: float, gravity: float, units: Units) -> str | None:
    """One sentence where no such must can be, else None. Litres, SG."""
    if volume_l > MOST_L:
        shown = show_number(volume_l, 0, METRIC)
        return f"{shown} L is more than the {MOST_L:.0f} L that a vessel may hold: look at the unit"
    if gravity > MOST_SG:
        return (
            f"no yeast ferments a must of {show_gravity(gravity, units)}: begin at {show_gravity(STRESS_SG, units)} "
            "or less and feed honey in steps"
        )
    return None


def notes(store: CellarStore, wanted: Wanted, gravity: float, level_l: float, capacity_l: float | None,
          end_abv_percent: float) -> Iterable[str]:  # fmt: skip
    """What is unusual about a plan, a sentence each. Litres, SG, % vol."""
    units = store.settings.units
    yield from _of_name(store, wanted.name)
    yield from _of_gravity(gravity, units)
    yield from _of_strength(wanted, end_abv_percent, units)
    yield from _of_sweetness(wanted, end_abv_percent)
    yield from _of_room(store, wanted, level_l, capacity_l)


def _of_name(store: CellarStore, name: str) -> Iterable[str]:
    store.load_missing()
    said = name.strip().casefold()
    twin = next((loaded for loaded in store.vessels.values() if loaded.head.name.strip().casefold() == said), None)
    if twin is not None:
        yield (
            f"there is a vessel called {plain(twin.head.name, 40)} already (folder {plain(twin.name, 40)}): "
            "another name would tell the two apart"
        )


def _of_gravity(gravity: float, units: Units) -> Iterable[str]:
    shown = show_gravity(gravity, units)
    if gravity > THICK_SG:
        yield (
            f"hardly any yeast starts in a must of {shown}: begin at {show_gravity(STRESS_SG, units)} or less "
            "and feed honey in steps"
        )
    elif gravity > STRESS_SG:
        yield (
            f"above {show_gravity(STRESS_SG, units)} sugar draws water out of the yeast, and it may not start: begin "
            "lower and feed honey in steps"
        )
    elif gravity < LIGHT_SG:
        yield f"a must of {shown} makes a thin, weak mead that keeps badly: most begin above 1.030"


def _of_strength(wanted: Wanted, end_abv_percent: float, units: Units) -> Iterable[str]:
    shown = f"{show_number(end_abv_percent, 1, units)} % vol"
    if wanted.tolerance_abv is not None:
        if end_abv_percent > wanted.tolerance_abv + 0.5:
            yield (
                f"{shown} is more than the yeast takes ({wanted.tolerance_abv:g} % vol): "
                "it will stop sweet, or feed in steps"
            )
    elif end_abv_percent > STRONGEST_ABV:
        yield (
            f"{shown} is more than any yeast is likely to reach (about {STRONGEST_ABV:g} % vol): it will stop sweet; "
            "say what your yeast takes (tolerance)"
        )


def _of_sweetness(wanted: Wanted, end_abv_percent: float) -> Iterable[str]:
    """What is to be sweetened and is too weak for sorbate is said before it is mixed, with the ways out."""
    if wanted.sweet_to is None and not wanted.sweet:
        return
    dose = sorbate_dose(1.0, USUAL_PH, min(25.0, end_abv_percent), malolactic=False)
    if isinstance(dose, WaysOut):
        yield (
            f"sorbate holds no mead of {end_abv_percent:.1f} % vol: make it stronger, keep it dry, keep it cold and "
            "drink it within weeks, heat it before bottling (FDA for juice at pH 4.0 or below: 71 °C all through for "
            "6 seconds), or sweeten in the glass"
        )


def _of_room(store: CellarStore, wanted: Wanted, level_l: float, capacity_l: float | None) -> Iterable[str]:
    if capacity_l is not None and level_l > capacity_l:
        yield (
            f"{level_l:.1f} L with its fruit do not fit into {capacity_l:.1f} L: "
            "less must, less fruit or a larger vessel"
        )
    elif capacity_l is not None and wanted.volume_l > FILL_SHARE_MOST * capacity_l:
        yield (
            f"{wanted.volume_l:.1f} L fill {100 * wanted.volume_l / capacity_l:.0f} % of the vessel: "
            f"leave a fifth free for foam, {FILL_SHARE_MOST * capacity_l:.1f} L at most"
        )
    elif capacity_l is None and wanted.volume_l > HOME_L:
        yield f"{show_volume(wanted.volume_l, store.settings.units)} is a lot for a home, and no container is named"
    if wanted.container is not None:
        holder = store.held_by(wanted.container)
        if holder is not None:
            yield f"{plain(wanted.container, 40)} is taken by {plain(holder, 40)} now"

"""Whether a plan is one that a mead maker can mean: what cannot be is refused, what is unusual is said in a sentence.

The lines are common practice, no source, where nothing else is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from fermtui.must.composition import sg_at_strength
from fermtui.must.pasteurising import pasteurising_units
from fermtui.must.preservatives import WaysOut, sorbate_dose
from fermtui.replay.keeping import BATH_C, BATH_H
from fermtui.replay.stabilised import USUAL_PH
from fermtui.schedule.met_at import FEED_RISE_SG
from fermtui.units import METRIC, Units, show_gravity, show_number, show_volume
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.cellar.store import CellarStore
    from fermtui.schedule.outcome import Outcome
    from fermtui.schedule.steps import Schedule
    from fermtui.writing.wanted import Wanted

LIGHT_SG = 1.030
STRESS_SG = 1.150
THICK_SG = 1.200
MOST_SG = 1.250
SHORT_ABV = 0.5
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


def notes(
    store: CellarStore,
    wanted: Wanted,
    schedule: Schedule,
    gravity: float,
    comes_to: Outcome,
    capacity_l: float | None,
) -> Iterable[str]:
    """What is unusual about a plan, a sentence each. Litres, SG, % vol."""
    units = store.settings.units
    yield from _of_name(store, wanted.name)
    yield from _of_gravity(gravity, units)
    yield from _of_strength(wanted, comes_to, units)
    yield from _of_sweetness(wanted, comes_to.end.abv_percent)
    yield from _of_room(store, wanted, comes_to.level_l, capacity_l)
    yield from _of_schedule(wanted, schedule, comes_to, units)


def _of_schedule(wanted: Wanted, schedule: Schedule, comes_to: Outcome, units: Units) -> Iterable[str]:
    """What is wanted and the schedule has no step for, or the other way round."""
    name, does = plain(schedule.name, 40), {added.do for added in comes_to.additions}
    if wanted.fruit and "fruit" not in does:
        yield (
            f"{name} asks for no fruit, so the sums are without the {plain(wanted.fruit, 40)}: take a schedule with "
            "fruit, such as fruit-when-dry"
        )
    elif not wanted.fruit and "fruit" in schedule.by_do:
        yield f"{name} asks for fruit, and none is named: say which, or take another schedule"
    if wanted.sweet_to is not None and "sweeten" not in schedule.by_do and wanted.keep != "glass":
        yield f"{name} sweetens nothing, so it stays at its end: take another schedule, or sweeten in the glass"
    if "forced_test" in schedule.by_do:
        stops = show_gravity(wanted.end or 1.0, units)
        yield f"the days behind the forced test are those of a must that stops at {stops}"


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


def _of_strength(wanted: Wanted, comes_to: Outcome, units: Units) -> Iterable[str]:
    """What the yeast is likely not to reach, and where it would stop."""
    abv_percent = comes_to.end.abv_percent
    shown = f"{show_number(abv_percent, 1, units)} % vol"
    most = wanted.tolerance_abv if wanted.tolerance_abv is not None else STRONGEST_ABV
    fed = any(added.do == "feed" for added in comes_to.additions)
    if wanted.abv_percent is not None and abv_percent < wanted.abv_percent - SHORT_ABV:
        yield (
            f"the feeds bring it to {shown} only, for none lifts it by more than "
            f"{show_number(1000 * FEED_RISE_SG, 0, units)} points: begin higher, or copy the schedule and add a feed"
        )
    if abv_percent <= most + (0.0 if wanted.tolerance_abv is None else SHORT_ABV):
        return
    stops_sg = sg_at_strength(comes_to.all_in, most)
    sweet = "stop sweet" if stops_sg is None else f"stop sweet, at about {show_gravity(stops_sg, units)}"
    advice = "feed less honey" if fed else "feed in steps"
    if wanted.tolerance_abv is not None:
        yield f"{shown} is more than the yeast takes ({most:g} % vol): it will {sweet}, or {advice}"
    else:
        yield (
            f"{shown} is more than any yeast is likely to reach (about {most:g} % vol): it will {sweet}; "
            "say what your yeast takes (tolerance)"
        )


def _of_sweetness(wanted: Wanted, end_abv_percent: float) -> Iterable[str]:
    """What is to be sweetened and is too weak for sorbate is said before it is mixed, with the ways out; and what the
    chosen way asks for."""
    if wanted.sweet_to is None and not wanted.sweet:
        return
    if wanted.keep is not None:
        yield _KEPT[wanted.keep]
        return
    dose = sorbate_dose(1.0, USUAL_PH, min(25.0, end_abv_percent), malolactic=False)
    if isinstance(dose, WaysOut):
        yield (
            f"sorbate holds no mead of {end_abv_percent:.1f} % vol: make it stronger, or say behind the gravity how "
            "it is kept sweet: glass (bottled dry, sweetened as it is poured), dry, cold (in its vessel, drunk within "
            f"weeks) or heat (in the bottle, {60.0 * BATH_H:.0f} minutes at {BATH_C:.0f} °C)"
        )


_KEPT: Mapping[str, str] = {
    "glass": "it is bottled dry and sweetened in the glass: no sulfite, no sorbate, no honey in the bottle",
    "dry": "it is left dry: nothing is sweetened",
    "cold": "it is sweetened, goes into the cold the same day under its airlock and is drunk within four weeks, never "
    "from closed bottles",
    "heat": f"it is bottled on the day of its honey and heated in the bottle at once, {60.0 * BATH_H:.0f} minutes at "
    f"{BATH_C:.0f} °C inside: {pasteurising_units(60.0 * BATH_H, BATH_C):.0f} pasteurising units",
}


def _of_room(store: CellarStore, wanted: Wanted, level_l: float, capacity_l: float | None) -> Iterable[str]:
    if capacity_l is not None and level_l > capacity_l:
        what = "fruit" if wanted.fruit else "honey"
        with_it = "its fruit" if wanted.fruit else "the honey that is fed"
        yield (
            f"{level_l:.1f} L with {with_it} do not fit into {capacity_l:.1f} L: "
            f"less must, less {what} or a larger vessel"
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

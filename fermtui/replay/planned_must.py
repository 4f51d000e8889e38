"""Where a must begins when nobody wrote down what was mixed: the plan."""

from __future__ import annotations

from fermtui.must.composition import from_gravity
from fermtui.must.honey import recipe_for_strength
from fermtui.must.limits import OutOfRange
from fermtui.replay.state import State


def planned_gravity(state: State) -> float | None:
    """The original gravity that the plan names, or the one that its strength and end ask for."""
    plan = state.head.plan
    if plan.gravity is not None or plan.abv_percent is None:
        return plan.gravity
    try:
        return recipe_for_strength(1.0, plan.abv_percent, plan.end).must.sg
    except OutOfRange as refused:
        state.notes.append(f"plan: {refused}")
        return None


def from_plan(state: State, gravity: float | None, source: str) -> None:
    """Without a mix the must is the plan's volume at this gravity; a litre stands in for an unknown volume."""
    if gravity is None or gravity < 1.0:
        return
    volume_l = state.head.plan.volume_l
    state.ledger.add(from_gravity(volume_l or 1.0, gravity))
    state.volume_known = volume_l is not None
    state.sg, state.sg_from = gravity, source

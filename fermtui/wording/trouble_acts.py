"""Why each act against a trouble is asked for; common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fermtui.schedule.trouble_tasks import LOOK
from fermtui.schedule.why import WhyValues

SEEN: Mapping[str, str] = {
    "stalled": "it stands still at {}, above its end; the check list says why that may be and what to do",
    "fell again": "it stood still and has fallen to {}: one more reading tells whether it runs again",
    "not started": "it still stands at {}, more than three days after pitching; the check list says what to do",
    "rising": "it was read at {}, higher than before with nothing added; the check list says what to do",
    "too warm": "it is too warm for the yeast; the check list says what to do",
    "slow": "from {} it falls slower than healthy musts do; the check list says why that may be",
}
BY_ACT: Mapping[str, str] = {
    "trouble-warm": "bring it slowly to about 20 °C and stir up the yeast that has settled, without air",
    "trouble-read": "does it fall again?",
    "trouble-restart": "where warmth did not help; the check list says how",
    "trouble-read-2": "has the new yeast taken hold?",
    "trouble-read-3": "does it stand still? it is at its end only where two readings agree over three days",
    "trouble-end": "where nothing moved it: say so with a reason, and racking and bottling go on by their guards",
}


def act_reason(values: WhyValues, gravity: Callable[[float], str]) -> str:
    """Say why an act is asked for, by the values of its reason; `gravity` writes one."""
    key = values["ref"]
    return SEEN[str(values["reason"])].format(gravity(values["sg"])) if key == LOOK else BY_ACT[key]

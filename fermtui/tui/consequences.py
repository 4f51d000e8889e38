"""What an entry would make of its vessel, shown while it is being typed. No Textual."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.daybook.kinds import kind_of
from fermtui.replay.present import present
from fermtui.replay.stabilised import free_so2_mg_per_l, total_so2_mg_per_l
from fermtui.units import show_gravity, show_number, show_volume
from fermtui.wording.amounts import sulfite_text
from fermtui.writing.entries import kept_vessel
from fermtui.writing.reading_check import facts_with

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fermtui.tui.session import Session



def consequences(session: Session, vessel: str, did: str, fields: Mapping[str, object]) -> str:
    """Volume, room, gravity and strength after it, or its SO2, as one sentence; empty where it changes none of them.

    `fields` have passed `entries.prepare`.
    """
    if did == "sulfite":
        store = session.store
        facts = facts_with(store, kept_vessel(store, vessel), fields, session.clock(), did)
        total = total_so2_mg_per_l(facts)
        text = sulfite_text(min(total, free_so2_mg_per_l(facts)), total)
        return f"Then: {text}; measure it a day later." if total else ""
    if not kind_of(did).shows_change or fields.get("from"):  # what another vessel brings is known once it is poured
        return ""
    store, now, units = session.store, session.clock(), session.view.settings.units
    facts = facts_with(store, kept_vessel(store, vessel), fields, now, did)
    settled = max((part.until for part in facts.pending), default=now)
    at_once, later = (present(facts, at, store.settings.zone) for at in (now, max(now, settled)))
    room, level = at_once.headspace_l, at_once.level_l
    parts = [] if not level else [show_volume(level, units)]
    if room is not None:
        over = f"{show_volume(-room, units)} too much for it"
        parts.append(f"{show_volume(room, units)} free" if room >= 0 else over)
    if later.sg is not None and kind_of(did).sugar:
        parts.append(f"{show_gravity(later.sg, units)}{' once the juice has come out' if settled > now else ''}")
        if later.abv_percent is not None and facts.pitched_at is not None:
            again = "" if did == "sweeten" else " before it ferments on"
            parts.append(f"{show_number(later.abv_percent, 1, units)} % vol{again}")
    return f"Then: {', '.join(parts)}." if parts else ""

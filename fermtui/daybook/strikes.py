"""Which entries stand: a strike takes an earlier entry back, and a strike of that strike restores it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.kinds import Strike
from fermtui.daybook.lines import STAMPED, line_number
from fermtui.daybook.problem import Problem


def live(
    entries: Sequence[Entry], path: str = "daybook.toml", data: bytes = b""
) -> tuple[tuple[Entry, ...], dict[str, str], tuple[Problem, ...]]:
    """The entries that no standing strike names (standing strikes among them), in the order given;
    the key of each struck entry with the key of the strike that took it back; and problems.

    Strikes in a ring strike nothing. `path` and `data` (the daybook's bytes) give the problems their file and line.
    """
    target = {entry.key: entry.entry or "" for entry in entries if isinstance(entry, Strike)}
    known = {entry.key for entry in entries}
    ringed = _ringed(target)
    problems = _faults(target, known, ringed, path, data)
    struck: dict[str, str] = {}
    for key in _outermost_first({k: t for k, t in target.items() if t in known and k not in ringed}):
        if key not in struck:
            struck[target[key]] = min(key, struck.get(target[key], key))
    return tuple(entry for entry in entries if entry.key not in struck), struck, tuple(problems)


def _faults(target: dict[str, str], known: set[str], ringed: set[str], path: str, data: bytes) -> Iterable[Problem]:
    for key, struck in target.items():
        if struck not in known:
            yield Problem("strike_of_nothing", path, line_number(data, key), (struck,))
        elif key in ringed:
            yield Problem("strikes_in_ring", path, line_number(data, key))


def _ringed(target: dict[str, str]) -> set[str]:
    ringed: set[str] = set()
    done: set[str] = set()
    for start in target:
        trail: dict[str, int] = {}
        key = start
        while key in target and key not in done and key not in trail:
            trail[key] = len(trail)
            key = target[key]
        if key in trail:
            ringed.update(list(trail)[trail[key] :])
        done.update(trail)
    return ringed


def _outermost_first(target: dict[str, str]) -> list[str]:
    """The strikes so ordered that every strike comes after all strikes that name it; there are no rings in `target`."""
    named = dict.fromkeys(target, 0)
    for struck in target.values():
        if struck in named:
            named[struck] += 1
    ready = [key for key, count in named.items() if count == 0]
    for key in ready:  # grows while it is walked
        struck = target[key]
        if struck in named:
            named[struck] -= 1
            if named[struck] == 0:
                ready.append(struck)
    return ready


def last_live_key(entries: Iterable[Entry]) -> str | None:
    """The last entry: the greatest key among live `entries`; keys that the program gave come after hand-made ones.

    A strike is an entry too. So a second undo takes back the first one, and no row of key presses can take back more
    than one entry by accident; to take back an older entry, name it. What a sensor logged is left alone: nobody wrote
    it last, and `fermtui strike VESSEL --by NAME` takes it back as a whole.
    """
    by_hand = (entry.key for entry in entries if not _is_logged(entry))
    return max(by_hand, key=lambda key: (bool(STAMPED.match(key)), key), default=None)


def _is_logged(entry: Entry) -> bool:
    """Whether a sensor logged it."""
    return entry.did == "read" and getattr(entry, "count", None) is not None


def behind(entry: Entry, by_key: Mapping[str, Entry]) -> tuple[Entry, int]:
    """The entry that a chain of strikes is about, and how many strikes there are in it; an entry itself and 0."""
    strikes, seen = 0, {entry.key}
    while isinstance(entry, Strike):
        target = by_key.get(entry.entry or "")
        if target is None or target.key in seen:
            break
        seen.add(target.key)
        entry, strikes = target, strikes + 1
    return entry, strikes


class Act(NamedTuple):
    """An entry that undo or redo may strike, and the vessel in whose daybook it stands."""

    vessel: str
    key: str


def undo_order(entries: Iterable[tuple[str, Entry]]) -> tuple[list[Act], list[Act]]:
    """What undo takes back and what redo restores, the next one last, of entries with their vessels.

    Both are read off the order of writing, so they outlive a session: an entry, or a strike that was written for its
    own sake, is an act; a strike by undo takes one away, and a strike of that by redo brings it back. Whatever is
    written anew leaves nothing to restore. What a sensor logged, and the strike of that, is no act.
    """
    done: dict[Act, None] = {}
    undone: dict[Act, None] = {}
    ordered = sorted(entries, key=lambda one: (bool(STAMPED.match(one[1].key)), one[1].key))
    logged = {Act(vessel, entry.key) for vessel, entry in ordered if _is_logged(entry)}
    for vessel, entry in ordered:
        act = Act(vessel, entry.key)
        target = Act(vessel, entry.entry or "") if isinstance(entry, Strike) else None
        if act in logged or target in logged:
            continue
        by = entry.by if isinstance(entry, Strike) else None
        if target is not None and by == "undo":
            done.pop(target, None)
            undone[act] = None
        elif target is not None and by == "redo":
            undone.pop(target, None)
            done[act] = None
        else:
            done[act] = None
            undone.clear()
    return [*done], [*undone]

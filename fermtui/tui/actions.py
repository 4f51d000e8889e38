"""The one table of actions. Bindings, key line, help, palette and the maker's own keymap all come from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from textual.binding import Binding, BindingType


class Action(NamedTuple):
    """One thing that a key does. `where` names the places in which it works."""

    id: str
    keys: str
    label: str
    says: str
    group: str
    where: tuple[str, ...]


SHELF, VESSEL, LIST, ALL = "shelf", "vessel", "list", "app"
BOTH = (SHELF, VESSEL)
WORK, MOVE, LOOK, REST = "the work", "moving about", "looking", "the program"

ACTIONS: tuple[Action, ...] = (
    Action("read", "r", "reading", "type a gravity, a temperature or a pH for this vessel", WORK, BOTH),
    Action("tick", "space", "tick off", "the task is done, with the amounts shown", WORK, BOTH),
    Action("undo", "u", "undo", "take back what was written last; it says what that was", WORK, BOTH),
    Action("redo", "U", "restore undone", "what was taken back stands again", WORK, BOTH),
    Action("strike", "x", "strike a line", "take back the line of the daybook under the cursor", WORK, (VESSEL,)),
    Action("postpone", "p", "put off", "put the task off to another day, with a reason", WORK, BOTH),
    Action("skip", "s", "leave out", "leave the task out for good, with a reason", WORK, BOTH),
    Action("start", "a", "new vessel", "plan a new mead and start its vessel", WORK, (SHELF,)),
    Action("note", "n", "note", "write a sentence into the daybook", WORK, BOTH),
    Action("entry", "i", "any entry", "write down anything that was done: every kind of entry", WORK, BOTH),
    Action("bottle", "o", "open a bottle", "a bottle is opened: drunk, given or burst", WORK, BOTH),
    Action("open", "enter", "open", "open the vessel under the cursor", MOVE, (LIST,)),
    Action("back", "escape", "back", "back to where you came from", MOVE, (VESSEL,)),
    Action("down", "j,down", "down", "one row down", MOVE, (LIST,)),
    Action("up", "k,up", "up", "one row up", MOVE, (LIST,)),
    Action("page_down", "pagedown", "page down", "a page down", MOVE, (LIST,)),
    Action("page_up", "pageup", "page up", "a page up", MOVE, (LIST,)),
    Action("first", "g,home", "first", "to the first row", MOVE, (LIST,)),
    Action("last", "G,end", "last", "to the last row", MOVE, (LIST,)),
    Action("swap", "tab", "other list", "from one list to the next", MOVE, BOTH),
    Action("swap_back", "shift+tab", "list before", "from one list to the one before", MOVE, BOTH),
    Action("earlier", "h,left", "earlier, before", "earlier on the time line; the vessel before", MOVE, BOTH),
    Action("later", "l,right", "later, next", "later on the time line; the next vessel", MOVE, BOTH),
    Action("today", "t", "back to today", "the time line back to today", MOVE, (SHELF,)),
    Action("closer", "plus,equals_sign", "fewer days", "fewer days on the time line", LOOK, (SHELF,)),
    Action("wider", "minus", "more days", "more days on the time line", LOOK, (SHELF,)),
    Action("sources", "e", "explain", "where a number comes from: formula, inputs, source", LOOK, (VESSEL,)),
    Action("zoom", "z", "zoom plot", "the plot: all, the last two weeks, what comes", LOOK, (VESSEL,)),
    Action("check", "c", "check list", "what to look at when a vessel is slow, stalled or too warm", LOOK, BOTH),
    Action("needs", "w", "what to buy", "what the coming tasks use up, less what is in stock", LOOK, BOTH),
    Action("bench", "b", "bench", "sums without a vessel: strength, honey, nitrogen, sulfite, bottles ..", LOOK, BOTH),
    Action("past", "v", "bottles and past", "bottles left, tastings, vessels put away, side by side", LOOK, BOTH),
    Action("schedules", "S", "schedules", "the steps of each schedule, and a copy to edit", REST, BOTH),
    Action("help", "question_mark", "keys", "this list", REST, (ALL,)),
    Action("palette", "colon", "all commands", "find an action by its name", REST, (ALL,)),
    Action("quit", "q", "quit", "close the cellar", REST, (ALL,)),
)

FOOTER = frozenset(
    ("read", "tick", "undo", "postpone", "note", "start", "open", "back", "zoom", "sources", "help", "quit")
)
"""the ones on the key line; the rest stand on the help screen"""

CHECK = next(action for action in ACTIONS if action.id == "check")

GROUPS = tuple(dict.fromkeys(action.group for action in ACTIONS))

SIGNS = {
    "question_mark": "?", "plus": "+", "equals_sign": "=", "minus": "-", "colon": ":", "escape": "Esc",
    "enter": "Enter", "space": "Space", "tab": "Tab", "shift+tab": "Shift Tab", "pagedown": "PgDn", "pageup": "PgUp",
    "left": "Left", "right": "Right", "up": "Up", "down": "Down", "home": "Home", "end": "End",
}  # fmt: skip


def bindings(*places: str) -> list[BindingType]:
    """The bindings that belong to a place; their ids are the names that a keymap in cellar.toml uses."""
    return [
        Binding(action.keys, action.id, action.label, show=action.id in FOOTER, tooltip=action.says, id=action.id)
        for action in ACTIONS
        if set(places) & set(action.where)
    ]


def keymap(wanted: Mapping[str, str]) -> tuple[dict[str, str], list[str]]:
    """The maker's own keys, and one sentence for each that cannot be used.

    A key that another action already has in the same place is refused, so that no key does two things.
    """
    known = {action.id: action for action in ACTIONS}
    taken, problems = dict[str, str](), list[str]()
    for name, keys in wanted.items():
        if name not in known:
            problems.append(f"cellar.toml, keys: there is no action '{name}'; the names stand on the help screen.")
            continue
        clash = next((other for other in ACTIONS if other.id != name and _meet(other, known[name])
                      and set(_split(wanted.get(other.id, other.keys))) & set(_split(keys))), None)  # fmt: skip
        if clash:
            problems.append(f"cellar.toml, keys: '{keys}' for {name} already means {clash.id}; choose another key.")
        else:
            taken[name] = keys
    return taken, problems


def _split(keys: str) -> list[str]:
    return [key.strip() for key in keys.split(",") if key.strip()]


def _meet(one: Action, other: Action) -> bool:
    """Whether two actions can be live at once: lists stand inside shelf and vessel, the app is everywhere."""
    everywhere = {LIST, ALL}
    return bool(set(one.where) & set(other.where) or set(one.where) & everywhere or set(other.where) & everywhere)


def shown_keys(action: Action, changed: Mapping[str, str], *, first_only: bool = False) -> str:
    """The keys of an action as people read them."""
    keys = [SIGNS.get(key, key) for key in _split(changed.get(action.id, action.keys))]
    return keys[0] if first_only else " ".join(keys)


def footer_of(*places: str) -> Iterable[Action]:
    """The actions that the key line shows in a place, in the order of the table."""
    return (action for action in ACTIONS if action.id in FOOTER and set(places) & set(action.where))


def elsewhere(key: str, here: Iterable[str], changed: Mapping[str, str]) -> str:
    """Where the action of a key works, if it is none of these places; else nothing."""
    for action in ACTIONS:
        if key not in _split(changed.get(action.id, action.keys)) or set(action.where) & set(here):
            continue
        sign = SIGNS.get(key, key)
        if action.id == "back":
            return "this is the shelf already; q closes the cellar"
        way = "inside a vessel: Enter opens the one under the cursor" if VESSEL in action.where else "on the shelf"
        return f"{sign}, {action.label}, works {way}"
    return ""

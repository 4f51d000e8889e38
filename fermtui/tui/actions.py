"""The one table of actions: bindings, key lines, help, palette, README and the maker's own keymap come from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from textual.binding import Binding, BindingType


class Action(NamedTuple):
    """One thing that a key does, and the places where it does it."""

    id: str
    """its name under `[keys]` in cellar.toml"""
    keys: str
    label: str
    """for the key line"""
    says: str
    """for help and README"""
    group: str
    where: tuple[str, ...]
    run: str = ""
    """what Textual is to run, if not the method `action_` and the id"""


SHELF, VESSEL, LIST, ALL = "shelf", "vessel", "list", "app"
LINE, FORM, START, BENCH = "line", "form", "start", "bench"
PAGE, HELP, NEEDS, PAST, SOURCES, BOTTLE, OFFER = "page", "help", "needs", "past", "sources", "bottle", "offer"
ENTRY_LIST, SCHEDULE_LIST = "entries", "schedules"

LIVE_TOGETHER: tuple[frozenset[str], ...] = (
    frozenset({SHELF, LIST, ALL}),
    frozenset({VESSEL, LIST, ALL}),
    frozenset({START, ALL}),
    frozenset({PAGE, HELP}),
    *(frozenset({place, LIST}) for place in (BENCH, ENTRY_LIST, PAST, SCHEDULE_LIST, SOURCES)),
    *(frozenset({place}) for place in (LINE, FORM, NEEDS, BOTTLE, OFFER)),
)
"""The places whose keys work at the same time; a page or form over the shelf covers the shelf's keys."""
TYPED = frozenset({LINE, FORM, START, BENCH})
"""Where text is typed: a letter cannot be a command there."""

BOTH = (SHELF, VESSEL)
CLOSED = (PAGE, ENTRY_LIST, NEEDS, PAST, SCHEDULE_LIST, SOURCES, BOTTLE)
WORK, MOVE, LOOK, REST, SIDE = "the work", "moving about", "looking", "the program", "on pages and forms"

ACTIONS: tuple[Action, ...] = (
    Action("read", "r", "reading", "type a gravity, a temperature or a pH for this vessel", WORK, BOTH),
    Action("tick", "space", "tick off", "the task is done, with the amounts shown", WORK, BOTH),
    Action("undo", "u", "undo", "take back what was done last; it says what that was", WORK,
           (*BOTH, PAST, SCHEDULE_LIST)),
    Action("redo", "U", "restore undone",
           "what was taken back stands again; on a line 'takes back' of a daybook, that one", WORK, BOTH),
    Action("strike", "x", "strike a line", "take back the line of the daybook under the cursor", WORK, (VESSEL,)),
    Action("postpone", "p", "put off", "put the task off to another day, with a reason", WORK, BOTH),
    Action("skip", "s", "leave out", "leave the task out for good, with a reason", WORK, BOTH),
    Action("start", "a", "new vessel", "plan a new mead and start its vessel", WORK, (SHELF,)),
    Action("note", "n", "note", "write a sentence into the daybook", WORK, BOTH),
    Action("entry", "i", "any entry", "write down anything that was done: every kind of entry", WORK, BOTH),
    Action("bottle", "o", "open a bottle", "a bottle is opened: drunk, given or burst", WORK, (*BOTH, PAST)),
    Action("open", "enter", "open", "open what is under the cursor", MOVE, (LIST, HELP)),
    Action("back", "escape", "back", "back to where you came from", MOVE, (VESSEL, *CLOSED, OFFER)),
    Action("down", "j,down", "down", "one row down", MOVE, (LIST, PAGE, BOTTLE)),
    Action("up", "k,up", "up", "one row up", MOVE, (LIST, PAGE, BOTTLE)),
    Action("page_down", "pagedown", "page down", "a page down", MOVE, (LIST, PAGE)),
    Action("page_up", "pageup", "page up", "a page up", MOVE, (LIST, PAGE)),
    Action("first", "g,home", "first", "to the first row", MOVE, (LIST, PAGE)),
    Action("last", "G,end", "last", "to the last row", MOVE, (LIST, PAGE)),
    Action("swap", "tab", "other list", "from one list to the next", MOVE, BOTH),
    Action("swap_back", "shift+tab", "list before", "from one list to the one before", MOVE, BOTH),
    Action("fold", "f", "one line each", "every vessel in one line, with all that it asks for", MOVE, (SHELF,)),
    Action("find", "slash", "find a vessel", "go to the vessel whose name begins so", MOVE, BOTH),
    Action("earlier", "h,left", "earlier, before", "earlier on the time line; the vessel before", MOVE,
           (*BOTH, SOURCES)),
    Action("later", "l,right", "later, next", "later on the time line; the next vessel", MOVE, BOTH),
    Action("today", "t", "back to today", "the time line back to today", MOVE, (SHELF,)),
    Action("closer", "plus,equals_sign", "fewer days", "fewer days on the time line", LOOK, (SHELF,)),
    Action("wider", "minus", "more days", "more days on the time line", LOOK, (SHELF,)),
    Action("sources", "e", "explain", "where a number comes from: formula, inputs, source", LOOK, (VESSEL, SOURCES)),
    Action("zoom", "z", "zoom plot", "the plot: all, the last two weeks, what comes", LOOK, (VESSEL,)),
    Action("check", "c", "check list", "what to look at when a vessel is slow, stalled or too warm", LOOK, BOTH),
    Action("needs", "w", "what to buy", "what the coming tasks use up, less what is in stock", LOOK, (*BOTH, NEEDS)),
    Action("bench", "b", "bench", "sums without a vessel: strength, honey, nitrogen, sulfite, bottles ..", LOOK, BOTH),
    Action("past", "v", "bottles and past", "bottles left, tastings, vessels put away, side by side", LOOK, BOTH),
    Action("schedules", "S", "schedules", "the steps of each schedule, and a copy to edit", REST, BOTH),
    Action("sync", "Y", "sync", "exchange entries with your other computers through your own git", REST, BOTH),
    Action("edit", "E", "in your editor", "open cellar.toml, the daybook or an own schedule in $EDITOR", REST,
           (*BOTH, SCHEDULE_LIST)),
    Action("yank", "y", "copy", "copy the numbers shown, or the line of the daybook under the cursor", REST, BOTH),
    Action("help", "question_mark", "keys", "this list", REST, (ALL, HELP)),
    Action("palette", "colon", "all commands", "find an action by its name", REST, (ALL,)),
    Action("quit", "q", "quit", "close the cellar", REST, (ALL, OFFER)),
    Action("close", "q", "back", "back from a page or list", SIDE, CLOSED, "back"),
    Action("next_page", "space", "page down", "a page of text down", SIDE, (PAGE,), "page_down"),
    Action("write", "enter", "writes it", "write what was typed", SIDE, (LINE, FORM, START)),
    Action("leave", "escape", "leaves it", "leave it unwritten", SIDE, (LINE, FORM, START, BENCH)),
    Action("next_field", "tab,down", "next", "to the next field", SIDE, (FORM, START), "app.focus_next"),
    Action("field_before", "shift+tab,up", "before", "to the field before", SIDE, (FORM, START), "app.focus_previous"),
    Action("values", "tab", "values", "bench: to the values", SIDE, (BENCH,),
           "app.focus_next"),
    Action("how", "f2", "explain", "how numbers are reckoned", SIDE,
           (FORM, START, BENCH, SOURCES, PAGE)),
    Action("look_up", "f3", "schedules", "new vessel: schedules", SIDE, (START,)),
    Action("drunk", "d,enter", "drunk", "bottle: it was drunk", SIDE, (BOTTLE,), "opened('drunk')"),
    Action("given", "g", "given", "bottle: given away", SIDE, (BOTTLE,), "opened('given')"),
    Action("burst", "b", "burst", "bottle: it burst", SIDE, (BOTTLE,), "opened('burst')"),
    Action("more_days", "plus,equals_sign,right,l", "more days", "what to buy: more days", SIDE, (NEEDS,),
           "span(1)"),
    Action("fewer_days", "minus,left,h", "fewer days", "what to buy: fewer days", SIDE, (NEEDS,), "span(-1)"),
    Action("taste", "t", "taste", "past: write a tasting", SIDE, (PAST,)),
    Action("mark", "m,space", "mark", "past: mark to compare", SIDE, (PAST,)),
    Action("compare", "c", "side by side", "past: marked side by side", SIDE, (PAST,)),
    Action("put_away", "p", "put away", "past: put away, bring back; elsewhere by its name (:)", SIDE, (PAST,)),
    Action("copy", "c", "copy, to edit", "schedules: copy to edit", SIDE, (SCHEDULE_LIST,)),
    Action("begin", "s", "start", "no cellar: start one", SIDE, (OFFER,), "choose('start')"),
    Action("demo", "d", "demo", "no cellar: see the demo", SIDE, (OFFER,), "choose('demo')"),
)  # fmt: skip

BY_ID = {action.id: action for action in ACTIONS}
GROUPS = tuple(dict.fromkeys(action.group for action in ACTIONS))

KEY_LINES: dict[str, tuple[str, ...]] = {
    SHELF: ("read", "tick", "undo", "postpone", "start", "note", "open", "help", "quit"),
    VESSEL: ("read", "tick", "undo", "postpone", "note", "back", "sources", "zoom", "help", "quit"),
    START: ("write", "next_field", "how", "look_up", "leave"),
    BENCH: ("values", "how", "leave"),
    ENTRY_LIST: ("open", "back"),
    PAGE: ("down", "up", "back"),
    NEEDS: ("more_days", "fewer_days", "back"),
    PAST: ("bottle", "taste", "mark", "compare", "put_away", "undo", "back"),
    SCHEDULE_LIST: ("open", "copy", "undo", "back"),
    SOURCES: ("back",),
    BOTTLE: ("drunk", "given", "burst", "back"),
    FORM: ("write", "how", "leave"),
    LINE: ("write", "leave"),
}
"""The actions on the key line of a place, in its order; the rest stand on the help screen."""

SIGNS = {
    "question_mark": "?", "plus": "+", "equals_sign": "=", "minus": "-", "colon": ":", "slash": "/", "escape": "Esc",
    "enter": "Enter", "space": "Space", "tab": "Tab", "shift+tab": "Shift Tab", "pagedown": "PgDn", "pageup": "PgUp",
    "left": "Left", "right": "Right", "up": "Up", "down": "Down", "home": "Home", "end": "End",
    **{f"f{n}": f"F{n}" for n in range(1, 13)},
}  # fmt: skip


def bindings(*places: str) -> list[BindingType]:
    """The bindings that belong to a place; their ids are the names that a keymap in cellar.toml uses."""
    return [
        Binding(action.keys, action.run or action.id, action.label, tooltip=action.says, id=action.id)
        for action in ACTIONS
        if set(places) & set(action.where)
    ]


def keymap(wanted: Mapping[str, str]) -> tuple[dict[str, str], list[str]]:
    """The maker's own keys, and one sentence for each that cannot be used.

    Refused are a key that another action has in the same place, so that no key does two things, and a letter where
    text is typed.
    """
    taken, problems = dict[str, str](), list[str]()
    for name, keys in wanted.items():
        action = BY_ID.get(name)
        if action is None:
            problems.append(f"cellar.toml, keys: there is no action '{name}'; the README's keys have the names.")
            continue
        clash = next((other for other in ACTIONS if other.id != name and _meet(other, action)
                      and set(_split(wanted.get(other.id, other.keys))) & set(_split(keys))), None)  # fmt: skip
        if clash:
            problems.append(f"cellar.toml, keys: '{keys}' for {name} already means {clash.id}; choose another key.")
        elif set(action.where) & TYPED and any(_is_text(key) for key in _split(keys)):
            problems.append(f"cellar.toml, keys: '{keys}' for {name} would be typed as text there; try f4 or escape.")
        else:
            taken[name] = keys
    return taken, problems


def _split(keys: str) -> list[str]:
    return [key.strip() for key in keys.split(",") if key.strip()]


def _is_text(key: str) -> bool:
    return len(key) == 1 or key in ("space", "plus", "minus", "equals_sign", "colon", "question_mark", "slash")


def _meet(one: Action, other: Action) -> bool:
    """Whether two actions can be live at once."""
    return any(places & set(one.where) and places & set(other.where) for places in LIVE_TOGETHER)


def shown_keys(action: Action, changed: Mapping[str, str], *, first_only: bool = False) -> str:
    """The keys of an action as people read them."""
    keys = [SIGNS.get(key, key) for key in _split(changed.get(action.id, action.keys))]
    return keys[0] if first_only else " ".join(keys)


def key_of(name: str, changed: Mapping[str, str]) -> str:
    """The first key of an action as people read it, for a sentence."""
    return shown_keys(BY_ID[name], changed, first_only=True)


def elsewhere(key: str, here: Iterable[str], changed: Mapping[str, str]) -> str:
    """Where the action of a key works, if it is none of these places; else nothing."""
    for action in ACTIONS:
        if key not in _split(changed.get(action.id, action.keys)) or set(action.where) & set(here):
            continue
        if not set(action.where) & set(BOTH):
            continue
        if action.id == "back":
            return f"this is the shelf already; {key_of('quit', changed)} closes the cellar"
        way = "inside a vessel: Enter opens the one under the cursor" if VESSEL in action.where else "on the shelf"
        return f"{SIGNS.get(key, key)}, {action.label}, works {way}"
    return ""

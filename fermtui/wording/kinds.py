"""What is to be done and what was done, in a few words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from fermtui.daybook.fields import FIELDS, Field
from fermtui.daybook.kinds import kind_of
from fermtui.must.substances import substance
from fermtui.units import METRIC, Units, show_gravity, show_number
from fermtui.wording.amounts import WITH_AMOUNTS, amounts_text
from fermtui.wording.fields import value_text
from fermtui.wording.plain import plain


class Words(NamedTuple):
    """What one kind of entry is called. No field has a default, so that none can be forgotten."""

    to_do: str  # of a task: `punch the cap down`
    done: str  # of an entry: `punched down`
    doing: str  # what a condition counts from: `two days after punching down`
    act: str  # behind `to`, where it cannot be done: `there is no must to punch down`
    noun: str  # of a later entry that it puts in question
    mark: str  # in the gravity plot; empty where it leaves no mark
    about: str  # in the list of what was done
    explained: str  # the number that its form is about, for its explanation; empty for all of them


KINDS: Mapping[str, Words] = {
    "mix": Words(
        "mix the must", "mixed", "mixing", "mix", "mixing",
        "", "honey, water, juice", "",
    ),
    "pitch": Words(
        "pitch the yeast", "pitched", "pitching", "pitch", "pitching",
        "pitch", "the yeast goes in", "",
    ),
    "dose": Words(
        "dose", "dosed", "the dose", "give a dose", "dose",
        "dose", "nutrient", "nitrogen need",
    ),
    "read": Words(
        "take a gravity", "read", "the reading", "take a reading", "reading",
        "", "the reading line", "",
    ),
    "aerate": Words(
        "aerate", "aerated", "aerating", "aerate", "aerating",
        "", "air in", "",
    ),
    "degas": Words(
        "degas", "degassed", "degassing", "degas", "degassing",
        "", "gas out", "",
    ),
    "punch": Words(
        "punch the cap down", "punched down", "punching down", "punch down", "punching down",
        "", "floating fruit pushed under", "",
    ),
    "add": Words(
        "add", "added", "the addition", "add anything", "addition",
        "", "acid, enzyme, tannin, finings, oak, spice", "",
    ),
    "fruit": Words(
        "fruit in", "fruit in", "the fruit", "put fruit in", "fruit",
        "fruit", "kind, mass, treatment; the room is checked", "",
    ),
    "pull": Words(
        "fruit out", "took out", "pulling", "pull anything", "pulling",
        "out", "fruit, spice or oak out", "",
    ),
    "feed": Words(
        "feed honey", "fed", "feeding", "feed", "feeding",
        "feed", "more honey while it ferments", "",
    ),
    "rack": Words(
        "rack off the lees", "racked", "racking", "rack", "racking",
        "rack", "into which container, what is left", "volume",
    ),
    "filter": Words(
        "filter", "filtered", "filtering", "filter", "filtering",
        "filter", "pad size, what is lost; it does not stabilise", "",
    ),
    "top_up": Words(
        "top up", "topped up", "topping up", "top up", "topping up",
        "top up", "with mead, water, or from another vessel", "",
    ),
    "level": Words(
        "measure the level", "level", "measuring the level", "measure the level", "level",
        "", "the volume as measured", "volume",
    ),
    "forced_test": Words(
        "test how far it goes", "forced test", "the forced test", "test how far it goes", "forced test",
        "", "a warm sample with fresh yeast: where it stopped", "",
    ),
    "heat": Words(
        "heat", "heated", "heating", "heat", "heating",
        "", "warmed", "",
    ),
    "chill": Words(
        "chill", "chilled", "chilling", "chill", "chilling",
        "", "cooled", "",
    ),
    "sulfite": Words(
        "sulfite", "sulfited", "the sulfite", "give sulfite", "sulfite",
        "sulfite", "metabisulfite", "potassium metabisulfite",
    ),
    "sorbate": Words(
        "sorbate", "sorbate in", "the sorbate", "give sorbate", "sorbate",
        "sorbate", "potassium sorbate", "potassium sorbate",
    ),
    "sweeten": Words(
        "sweeten", "sweetened", "sweetening", "sweeten", "sweetening",
        "sweeten", "honey for taste", "honey",
    ),
    "split": Words(
        "split", "split", "splitting", "split", "splitting",
        "split", "a part into a new vessel", "volume",
    ),
    "receive": Words(
        "pour in", "received", "pouring in", "pour in", "pouring in",
        "blend", "from another vessel", "",
    ),
    "bottle": Words(
        "bottle", "bottled", "bottling", "bottle", "bottling",
        "bottle", "into bottles", "bottles",
    ),
    "taste": Words(
        "taste", "tasted", "the tasting", "taste", "tasting",
        "", "look, smell, taste, score", "",
    ),
    "open": Words(
        "open a bottle", "opened", "opening a bottle", "open a bottle", "opening",
        "", "a bottle drunk, given or burst", "",
    ),
    "note": Words(
        "note", "note", "the note", "write a note", "note",
        "", "a sentence", "",
    ),
    "chore": Words(
        "see to", "done", "the chore", "do a chore", "chore",
        "", "something seen to", "",
    ),
    "skip": Words(
        "leave out", "left out", "leaving out", "leave a step out", "leaving out",
        "", "a step that is not needed", "",
    ),
    "postpone": Words(
        "put off", "put off", "putting off", "put a step off", "putting off",
        "", "a step to another day", "",
    ),
    "strike": Words(
        "take back", "taken back", "taking back", "take an entry back", "strike",
        "", "an entry that was wrong", "",
    ),
    "end": Words(
        "this is its end", "taken as its end:", "the end", "say that this is its end", "end",
        "end", "it has ended here, above the plan's end", "",
    ),
    "empty": Words(
        "empty", "emptied", "emptying", "empty it", "emptying",
        "", "what was left is gone", "",
    ),
}  # fmt: skip
_FIRST = ("what", "yeast", "why", "until", "reason")
_APART = [FIELDS[name] for name in ("text", *WITH_AMOUNTS) if name != "what"] + [FIELDS["split.into"]]
_PULLS = {"spice": "spice out", "oak": "oak out"}


def to_do(do: str, what: str | None = None, dose_n: int | None = None, dose_m: int | None = None) -> str:
    """`dose 2 of 3`, `fruit in`, `add oak`."""
    if do == "dose" and dose_n and dose_m:
        return f"dose {dose_n} of {dose_m}"
    if do == "pull" and what in _PULLS:
        return _PULLS[what]
    if do == "split" and what:
        return f"pour into {plain(what, 30)}"
    if do in ("add", "chore") and what:
        return f"add {plain(what, 30)}" if do == "add" else plain(what, 40)
    if do == "pitch" and what:
        return f"restart with a {plain(what, 30)}"
    if do == "read" and what:
        return f"take a gravity and {'pH' if what == 'ph' else plain(what, 20)}"
    return KINDS[do].to_do if do in KINDS else plain(do, 30)


def done_text(did: str, fields: Mapping[str, object], units: Units = METRIC) -> str:
    """One entry in a few words: `dosed 1.1 g DAP, 1.3 g autolysate`, `read 1.042 at 21 °C`."""
    if did == "read":
        return f"read {reading_text(fields, units)}"
    row = kind_of(did).fields
    given = [name for name in dict.fromkeys((*_FIRST, *row)) if fields.get(name) is not None]
    words = [name for name in given if _is_word(row.get(name))]
    apart = ("into", "task", "text", *words)
    amounts = amounts_text({name: value for name, value in fields.items() if name not in apart}, units)
    if fields.get("into"):
        amounts = f"{amounts} into {plain(fields['into'], 60)}".strip()
    parts = [row[name].told.format(plain(value_text(row[name], fields[name], units), 60)) for name in words]
    if did in ("skip", "postpone") and fields.get("task"):
        parts.insert(0, plain(fields["task"], 40).replace("-", " "))
    if did in ("add", "top_up") and (meant := _understood(fields, units)):
        parts.append(meant)
    text = plain(fields.get("text") or "", 200)
    rest = ", ".join(part for part in (amounts, *parts) if part)
    short = " ".join(part for part in (KINDS[did].done if did in KINDS else plain(did, 30), rest) if part)
    return f"{short}{'; ' if rest else ' '}{text}" if text else short


def _understood(fields: Mapping[str, object], units: Units) -> str:
    """What the table of substances takes its name for, where that brings sugar or strength: what was typed may mean
    something else. Empty where the maker gave the numbers.
    """
    name = fields.get("what") or fields.get("with")
    row = substance(name) if isinstance(name, str) else None
    if row is None or row.group in ("free", "water", "mead", "honey"):
        return ""
    if any(fields.get(given) is not None for given in ("sugar_g", "sg", "abv_percent", "from")):
        return ""
    told = [f"{show_number(row.sugar_percent, 0, units)} % sugar"] if row.sugar_percent >= 1.0 else []
    told += [f"{show_number(row.abv_percent, 0, units)} % vol"] if row.abv_percent else []
    return f"understood as {', '.join([row.called, *(told or ['no sugar that ferments'])])}"


def _is_word(field: Field | None) -> bool:
    """Whether it stands behind the amounts, and not among them."""
    if field is None or not field.told or field in _APART:
        return False
    if field.reads in ("number", "whole"):
        return field.reads == "number" and not field.unit
    return True


def reading_text(fields: Mapping[str, object], units: Units = METRIC) -> str:
    """`1.042 at 21 °C, pH 3.4`, with the precision in which it was written; of a sensor `1.0423 by float-1`."""
    given = {name: value for name, value in fields.items() if value is not None}
    at = []
    if "sg" in given:
        written = str(given["sg"])
        at.append(show_gravity(float(written), units, max(3, len(written.partition(".")[2]))))
    if "brix" in given:
        at.append(value_text(FIELDS["brix"], given["brix"], units))
    if "temp_c" in given:
        temp = value_text(FIELDS["temp_c"], given["temp_c"], units)
        at.append(f"at {temp}" if at else temp)
    more = [
        FIELDS[name].told.format(value_text(FIELDS[name], given[name], units))
        for name in ("ph", "free_so2_mg_per_l", "sample_ml")
        if name in given
    ]
    text = ", ".join(part for part in (" ".join(at), *more) if part)
    return f"{text} by {plain(given['by'], 40)}" if "by" in given else text

"""What is to be done and what was done, in a few words."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from fermtui.units import METRIC, Units, show_gravity, show_temp
from fermtui.wording.amounts import amounts_text
from fermtui.wording.plain import plain

TO_DO = {
    "mix": "mix the must",
    "pitch": "pitch the yeast",
    "dose": "dose",
    "read": "take a gravity",
    "aerate": "aerate",
    "degas": "degas",
    "punch": "punch the cap down",
    "add": "add",
    "fruit": "fruit in",
    "pull": "fruit out",
    "feed": "feed honey",
    "rack": "rack off the lees",
    "top_up": "top up",
    "level": "measure the level",
    "heat": "heat",
    "chill": "chill",
    "sulfite": "sulfite",
    "sorbate": "sorbate",
    "sweeten": "sweeten",
    "split": "split",
    "bottle": "bottle",
    "taste": "taste",
    "open": "open a bottle",
    "note": "note",
    "chore": "see to",
}
DONE = {
    "mix": "mixed",
    "pitch": "pitched",
    "dose": "dosed",
    "read": "read",
    "aerate": "aerated",
    "degas": "degassed",
    "punch": "punched down",
    "add": "added",
    "fruit": "fruit in",
    "pull": "took out",
    "feed": "fed",
    "rack": "racked",
    "top_up": "topped up",
    "level": "level",
    "heat": "heated",
    "chill": "chilled",
    "sulfite": "sulfited",
    "sorbate": "sorbate in",
    "sweeten": "sweetened",
    "split": "split",
    "receive": "received",
    "bottle": "bottled",
    "taste": "tasted",
    "open": "opened",
    "note": "note",
    "chore": "done",
    "skip": "left out",
    "postpone": "put off",
    "strike": "taken back",
    "empty": "emptied",
}
_PULLS = {"spice": "spice out", "oak": "oak out"}


def to_do(do: str, what: str | None = None, dose_n: int | None = None, dose_m: int | None = None) -> str:
    """`dose 2 of 3`, `fruit in`, `add oak`."""
    if do == "dose" and dose_n and dose_m:
        return f"dose {dose_n} of {dose_m}"
    if do == "pull" and what in _PULLS:
        return _PULLS[what]
    if do in ("add", "chore") and what:
        return f"add {plain(what, 30)}" if do == "add" else plain(what, 40)
    if do == "read" and what:
        return f"take a gravity and {'pH' if what == 'ph' else plain(what, 20)}"
    return TO_DO.get(do, plain(do, 30))


def done_text(did: str, fields: Mapping[str, object], units: Units = METRIC) -> str:
    """One entry in a few words: `dosed 1.1 g DAP, 1.3 g autolysate`, `read 1.042 at 21 °C`."""
    if did == "read":
        return f"read {reading_text(fields, units)}"
    told = amounts_text(_numbers(fields), units)
    if fields.get("into"):
        told = f"{told} into {plain(fields['into'], 60)}".strip()
    words = [plain(fields[name], 60) for name in ("what", "yeast", "why", "reason") if fields.get(name)]
    if did in ("taste",):
        words += [plain(fields[name], 60) for name in ("look", "smell", "taste") if fields.get(name)]
        if fields.get("score") is not None:
            words.append(f"{fields['score']} of 20")
    if did in ("skip", "postpone") and fields.get("task"):
        words.insert(0, plain(fields["task"], 40).replace("-", " "))
    if did == "postpone" and fields.get("until"):
        words.insert(1, f"until {plain(fields['until'], 25)}")
    if did == "strike":
        words = [plain(fields.get("entry", ""), 60)]
    text = plain(fields.get("text") or "", 200)
    rest = ", ".join(part for part in (told, *words) if part)
    short = " ".join(part for part in (DONE.get(did, plain(did, 30)), rest) if part)
    return f"{short}{'; ' if rest else ' '}{text}" if text else short


def _numbers(fields: Mapping[str, object]) -> dict[str, object]:
    """Numbers as floats (they may be Decimal as written), words as they are."""
    skip = ("task", "text", "override", "sg", "ph", "reason", "what", "into", "score")
    return {
        name: value if isinstance(value, str | int) else float(value)
        for name, value in fields.items()
        if name not in skip and isinstance(value, str | int | float | Decimal)
    }


def reading_text(fields: Mapping[str, object], units: Units = METRIC) -> str:
    """`1.042 at 21 °C, pH 3.4`, with the precision in which it was written."""
    parts = []
    if fields.get("sg") is not None:
        written = str(fields["sg"])
        places = max(3, len(written.partition(".")[2]))
        parts.append(show_gravity(float(written), Units(decimal_comma=units.decimal_comma), places))
    if fields.get("brix") is not None:
        parts.append(f"{plain(fields['brix'], 10)} °Bx")
    if fields.get("temp_c") is not None:
        temp = show_temp(float(str(fields["temp_c"])), units)
        parts.append(f"at {temp}" if parts else temp)
    text = " ".join(parts)
    more = []
    if fields.get("ph") is not None:
        more.append(f"pH {plain(fields['ph'], 10)}")
    if fields.get("free_so2_mg_per_l") is not None:
        more.append(f"free SO2 {plain(fields['free_so2_mg_per_l'], 10)} mg/L")
    return ", ".join(part for part in (text, *more) if part)

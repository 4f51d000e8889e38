"""`fermtui put-away VESSEL` and `fermtui bring-back VESSEL`: a whole folder to past/ and back."""

from __future__ import annotations

from fermtui.acts import Refused, kept_vessel
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.named import named
from fermtui.cli.session import print_json, watched_of
from fermtui.daybook.retire import bring_back, retire
from fermtui.kept import Kept
from fermtui.reports.lots import bottles_left
from fermtui.story.stage import nothing_left
from fermtui.units import Units, show_volume


def run(call: Call) -> int:
    """Move the folder. Refused (1) while the container still holds something, and while bottles are left or lines are
    damaged unless --anyway: a vessel put away asks for nothing and its container counts as free.
    """
    if len(call.operands) != 1 or call.pairs:
        raise WrongUsage(f"{call.command} takes one vessel: `fermtui {call.command} damson-26`")
    watched, _now = watched_of(call)
    name = call.operands[0]
    away = call.command == "put-away"
    if away:
        _may_go(kept_vessel(watched, name), watched.settings.units, anyway="anyway" in call.options)
        place = retire(watched.cellar, name)
    else:
        if named(watched, name).place == "vessels":
            raise Refused(f"{name} is at work already")
        place = bring_back(watched.cellar, name)
    if "json" in call.options:
        print_json({"vessel": place, "was": name, "put_away": away})
    else:
        called = "" if place == name else f" as {place}, for the name was taken"
        print(f"{name}: {'put away' if away else 'brought back'}{called}")
    watched.save()
    return 0


def _may_go(kept: Kept, units: Units, *, anyway: bool) -> None:
    if kept.problems and not anyway:
        raise Refused(
            f"{kept.name} has lines that cannot be read, so what is left in it is not known: "
            f"`fermtui check {kept.name}` names them; --anyway puts it away all the same"
        )
    facts = kept.facts
    started = facts.mixed_at is not None or facts.pitched_at is not None or facts.parent is not None
    if started and not nothing_left(facts):
        litres = facts.left_l if facts.lots else facts.level_l
        there = f"{show_volume(litres, units)} are" if litres else "something is"
        raise Refused(
            f"{there} still in {kept.name}: bottle it, or write down that it went: "
            f"`fermtui write {kept.name} empty reason=...`"
        )
    left = bottles_left(facts)
    if left and facts.emptied_at is None and not anyway:
        bottles = "1 bottle is" if left == 1 else f"{left} bottles are"
        raise Refused(
            f"{bottles} left of {kept.name}, and its tastings would no longer be asked for: "
            f"write down the opened ones, or put it away with --anyway"
        )

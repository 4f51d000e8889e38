"""`fermtui put-away VESSEL` and `fermtui bring-back VESSEL`: a whole folder to past/ and back."""

from __future__ import annotations

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, print_json, store_of, vessel_of
from fermtui.cli.files_out import telling
from fermtui.writing.archive import put_away, restore_from_past


def run(call: Call) -> int:
    """Move the folder. Raises Refused."""
    if len(call.operands) != 1 or call.pairs:
        raise WrongUsage(f"{call.command} takes one vessel: `fermtui {call.command} damson-26`")
    store, _now = store_of(call)
    name = folder_of(store, call.operands[0])
    away = call.command == "put-away"
    if away:
        place = put_away(store, name, anyway="anyway" in call.options)
    else:
        vessel_of(store, name)
        place = restore_from_past(store, name)
    said = f"{name}: {'put away' if away else 'brought back'}"
    with telling(said):
        if "json" in call.options:
            print_json({"vessel": place, "was": name, "put_away": away})
        else:
            print(said if place == name else f"{said} as {place}, for the name was taken")
    store.save()
    return 0

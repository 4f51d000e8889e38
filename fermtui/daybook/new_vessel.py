"""Starting a vessel: its head is written once, as a page that people like to edit."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from typing import Any

from fermtui.daybook.append import append_held, locked
from fermtui.daybook.fields import NAME, Unfit
from fermtui.daybook.files import NotWritten, confirm, sync_folder, why_not, write_new
from fermtui.daybook.head import head_from
from fermtui.daybook.places import DAYBOOK, HEAD, PAST, VESSELS, Cellar, real_place
from fermtui.daybook.toml_file import FILE_MOST, Malformed, parse_toml

_ABOUT = """\
# The head of a vessel. It is yours to edit; fermtui wrote it once and only reads it from now on.
# What was done to the vessel stands in daybook.toml beside it.

"""
_NOTES = {
    "container": "one of the containers in cellar.toml",
    "schedule": "a schedule of the library, or a file in schedules/ without its ending",
    "parent": "the vessel that this one was split from",
    "gravity": "before pitching, at 20 °C",
    "end": "the gravity at which you call it finished",
    "doses": "totals; computed when left out, and fixed at pitching",
}


def start_vessel(
    cellar: Cellar, name: str, table: Mapping[str, Any], first: str = "", poured: tuple[str, str] | None = None
) -> None:
    """Make the folder `name` with `table` as its head and the line `first` in its daybook, all at once or not at all.

    `poured`, a vessel and a line, is what another one gives: it is written before the folder stands there, so that
    neither a failure nor a crash leaves a vessel that nothing was poured into.

    Raises Unfit when the table is no head, NotWritten when the name is taken or the folder cannot be written; its
    `written` says whether the other vessel has its line.
    """
    if not NAME.match(name):
        raise Unfit("a vessel's folder is named with letters a to z, digits, hyphens and underscores")
    text = head_text(table)
    vessels = cellar.path / VESSELS
    made = vessels / f".start-{os.urandom(6).hex()}"
    given: tuple[tuple[str, str], ...] = ()
    with locked(cellar):
        if any((cellar.path / place / name).exists() for place in (VESSELS, PAST)):
            raise NotWritten(f"nothing was written: there is a vessel {name} already")
        real_place(cellar, VESSELS)
        try:
            made.mkdir(parents=True)
            write_new(made / HEAD, text.encode())
            if first:
                write_new(made / DAYBOOK, first.encode())
            sync_folder(made)
            if poured:
                append_held(cellar, [poured])
                given = (poured,)
            made.rename(vessels / name)  # a vessel that another program made meanwhile stays: its folder is not empty
        except NotWritten:
            shutil.rmtree(made, ignore_errors=True)
            raise
        except OSError as fault:
            shutil.rmtree(made, ignore_errors=True)
            raise NotWritten(f"vessel {name} was not started: {why_not(fault)}", given) from fault
        confirm(f"vessel {name} was started", vessels)


def head_text(table: Mapping[str, Any]) -> str:
    """The text of vessel.toml: plain fields first, then [plan] with its small tables in one line each.

    Fields that are None are left out. Raises Unfit when it is no head or would not read back as the same.
    """
    top = {name: value for name, value in table.items() if value is not None and not isinstance(value, Mapping)}
    tables = {name: _without_none(value) for name, value in table.items() if isinstance(value, Mapping)}
    text = _ABOUT + "".join(_line(name, value) for name, value in top.items())
    for name, fields in tables.items():
        text += f"\n[{name}]\n" + "".join(_line(field, value) for field, value in fields.items())
    try:
        data = text.encode()
        back = parse_toml(data)
    except UnicodeEncodeError:
        raise Unfit("the head holds a character that no file can hold (half of a surrogate pair)") from None
    except Malformed as fault:
        raise Unfit(f"the head cannot be written: {fault}") from None
    head_from(back)
    if len(data) > FILE_MOST or back.keys() != top.keys() | tables.keys():
        raise Unfit("the head cannot be written: it is too large, or a name in it is none")
    return text


def _without_none(table: Mapping[str, Any]) -> dict[str, Any]:
    clean = {name: _without_none(value) if isinstance(value, Mapping) else value for name, value in table.items()}
    return {name: value for name, value in clean.items() if value is not None and value != {}}


def _line(name: str, value: object) -> str:
    note = _NOTES.get(name)
    return f"{_pair(name, value)}{f'  # {note}' if note else ''}\n"


def _pair(name: str, value: object) -> str:
    import tomli_w  # not needed by a process that only reads

    if isinstance(value, Mapping):
        return f"{name} = {{ {', '.join(_pair(field, inner) for field, inner in value.items())} }}"
    return tomli_w.dumps({name: value}).strip()

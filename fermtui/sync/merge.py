"""Merge two copies of a cellar: match their vessels, choose the place of each, and join their files.

A merge takes nothing away: an entry, a head or a vessel that one side lacks and the other holds stays. Taking back is a
strike, and a vessel that is done with is put away.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import PurePosixPath
from typing import NamedTuple

from fermtui.daybook.append import LOCK
from fermtui.daybook.places import DAYBOOK, HEAD
from fermtui.daybook.toml_file import Malformed, parse_toml
from fermtui.sync.git import Blob, Tree

Folder = tuple[str, str]  # place (vessels or past) and name
Files = Mapping[str, Blob]
_IN_FOLDER = re.compile(r"(vessels|past)/([^/]+)/(.+)", re.DOTALL)
_ENTRY = re.compile(rb"[ \t]*([A-Za-z0-9_-]+)[ \t]*=[ \t]*\{.*\}[ \t]*(?:#.*)?")


class Tools(NamedTuple):
    """What git does for us: read a file's content, keep a new one, merge three texts (None where they clash)."""

    read: Callable[[Blob | None], bytes]
    store: Callable[[bytes], str]
    merge_text: Callable[[bytes, bytes, bytes], bytes | None]


class _Vessel(NamedTuple):
    base: Files
    ours: Files
    theirs: Files
    target: Folder


def reunite(base: Tree, ours: Tree, theirs: Tree, tools: Tools) -> tuple[dict[str, Blob], tuple[str, ...]]:
    """Merge what both sides wrote since `base`; return all files of the cellar and notes for the maker.

    A vessel goes where the side that moved it put it, and stays where one side removed it. Its daybook gets the entries
    of both sides. Two vessels started under one name stay two. Other files that both sides changed are merged line by
    line; where that fails, ours stays and theirs is written next to it.
    """
    notes: list[str] = []
    merged: dict[str, Blob] = {}
    for vessel in _vessels(_folders(base), _folders(ours), _folders(theirs), tools, notes):
        where = "/".join(vessel.target)
        for name in sorted(vessel.base.keys() | vessel.ours.keys() | vessel.theirs.keys()):
            sides = vessel.base.get(name), vessel.ours.get(name), vessel.theirs.get(name)
            merged |= _file(f"{where}/{name}", *sides, tools, notes)
    for path in sorted(base.keys() | ours.keys() | theirs.keys()):
        if not _IN_FOLDER.fullmatch(path) and path != LOCK:  # someone's own `git add -A` takes the lock with it
            merged |= _file(path, base.get(path), ours.get(path), theirs.get(path), tools, notes)
    return merged, tuple(notes)


def union_of_lines(base: bytes, ours: bytes, theirs: bytes) -> bytes:
    """Return the lines of both sides, each once, ours first.

    A line that one side corrected is the corrected one. An entry that one side took out stays all the same; what is no
    entry (a comment, a torn line) goes with the side that took it out of `base`.
    """
    old, mine, other = _lines(base), _lines(ours), _lines(theirs)
    my_keys, other_keys = _keys(mine), _keys(other)
    kept = [line for line in mine if line in other or line not in old or not _keys([line]) <= other_keys]
    new = [line for line in other if line not in mine and (line not in old or not _keys([line]) <= my_keys)]
    return b"".join(line + b"\n" for line in [*kept, *new])


def entry_key(line: bytes) -> str | None:
    """Return the key of a daybook line that has the shape of an entry; None for comments, torn and marker lines."""
    found = _ENTRY.fullmatch(line)
    return found[1].decode() if found else None


def _lines(data: bytes) -> dict[bytes, None]:
    return dict.fromkeys(line.removesuffix(b"\r") for line in data.split(b"\n") if line.strip())


def _keys(lines: Iterable[bytes]) -> set[str]:
    return {key for line in lines if (key := entry_key(line))}


def beside(path: str) -> str:
    """The path for the other version of a file: vessel.toml -> vessel-other.toml."""
    return str(PurePosixPath(path).with_stem(f"{PurePosixPath(path).stem}-other"))


def _folders(tree: Tree) -> dict[Folder, dict[str, Blob]]:
    found: dict[Folder, dict[str, Blob]] = {}
    for path, blob in tree.items():
        if inside := _IN_FOLDER.fullmatch(path):
            found.setdefault((inside[1], inside[2]), {})[inside[3]] = blob
    return found


def _vessels(
    base: Mapping[Folder, Files],
    ours: Mapping[Folder, Files],
    theirs: Mapping[Folder, Files],
    tools: Tools,
    notes: list[str],
) -> Iterator[_Vessel]:
    names = {name for _, name in [*ours, *theirs]}
    used: set[Folder] = set()

    def placed(wanted: Folder) -> Folder:
        target = wanted if wanted not in used else (wanted[0], _free(wanted[1], names))
        used.add(target)
        names.add(target[1])
        return target

    mine_of, other_of = _followed(base, ours, tools), _followed(base, theirs, tools)
    for origin, files in sorted(base.items()):
        mine, other = mine_of.get(origin), other_of.get(origin)
        if mine and other:
            target = mine if mine != origin else other
            stayed = theirs[other] if mine != origin else ours[mine]
            if mine != other and stayed != files:
                notes.append(f"{origin[1]} was moved on one side and written on the other: all of it is in {target[0]}")
            yield _Vessel(files, ours[mine], theirs[other], placed(target))
        elif left := mine or other:
            notes.append(_stays(left, ours=bool(mine)))
            kept = (ours if mine else theirs)[left]
            yield _Vessel({}, kept if mine else {}, {} if mine else kept, placed(left))
    new_theirs = {folder for folder in theirs if folder not in other_of.values()}
    for folder in sorted(set(ours) - set(mine_of.values())):
        twin = next((one for one in sorted(new_theirs) if one[1] == folder[1]), None)
        if twin and _same(ours[folder], theirs[twin], tools):
            new_theirs.discard(twin)
            yield _Vessel({}, ours[folder], theirs[twin], placed(twin))
        elif any(name == folder[1] for _, name in theirs):
            free = _free(folder[1], names)
            notes.append(f"{folder[1]} was started on both sides: the one from here is now {free}")
            yield _Vessel({}, ours[folder], {}, placed((folder[0], free)))
        else:
            yield _Vessel({}, ours[folder], {}, placed(folder))
    for folder in sorted(new_theirs):
        yield _Vessel({}, {}, theirs[folder], placed(folder))


def _stays(folder: Folder, *, ours: bool) -> str:
    place, name = folder
    said = "removed on the other side: it stays" if ours else "removed here and stands on the other side: it is back"
    way = f"; what is done with goes with `fermtui put-away {name}`" if place == "vessels" else ""
    return f"{name} was {said}{way}"


def _followed(base: Mapping[Folder, Files], side: Mapping[Folder, Files], tools: Tools) -> dict[Folder, Folder]:
    """Find each vessel of `base` on a side, moved or renamed; leave out those that were removed."""
    found = {origin: origin for origin in base if origin in side}
    for origin in sorted(base.keys() - found.keys()):
        candidates = [folder for folder in side if folder not in base and folder not in found.values()]

        def unlike(folder: Folder, origin: Folder = origin) -> tuple[bool, bool, bool, Folder]:
            return not _is_name_of(origin[1], folder[1]), folder[1] != origin[1], folder[0] == origin[0], folder

        for folder in sorted(candidates, key=unlike):
            if _same(base[origin], side[folder], tools):
                found[origin] = folder
                break
    return found


def _is_name_of(old: str, new: str) -> bool:
    return new == old or re.fullmatch(re.escape(old) + r"-\d+", new) is not None


def _same(one: Files, other: Files, tools: Tools) -> bool:
    """Whether two folders hold the same vessel: they share a line of the daybook, or are both before their first."""
    pages = [_lines(tools.read(files.get(DAYBOOK))) for files in (one, other)]
    return not pages[0].keys().isdisjoint(pages[1]) or (one.get(HEAD) == other.get(HEAD) and not all(pages))


def _free(name: str, taken: Iterable[str]) -> str:
    number = 2
    while f"{name}-{number}" in taken:
        number += 1
    return f"{name}-{number}"


def _file(
    path: str, base: Blob | None, ours: Blob | None, theirs: Blob | None, tools: Tools, notes: list[str]
) -> dict[str, Blob]:
    if ours == theirs:
        return {path: ours} if ours else {}
    left = ours or theirs
    if left and path.endswith(f"/{DAYBOOK}") and _IN_FOLDER.fullmatch(path):
        old, mine, other = (tools.read(blob) for blob in (base, ours, theirs))
        _say_what_stays(path, old, mine, other, notes)
        page = union_of_lines(old, mine, other)
        for blob, side in ((theirs, other), (ours, mine)):
            if blob and _lines(page).keys() == _lines(side).keys():  # it holds all already, in an order of its own
                return {path: blob}
        return {path: Blob(left.mode, tools.store(page))}
    if left and path.endswith(f"/{HEAD}") and _IN_FOLDER.fullmatch(path) and (ours is None or theirs is None):
        if base:
            notes.append(f"{path} was removed {'here' if theirs else 'on the other side'}: it stays")
        return {path: left}
    if theirs == base:
        return {path: ours} if ours else {}
    if ours == base:
        return {path: theirs} if theirs else {}
    if ours is None or theirs is None:
        notes.append(f"{path} was removed on one side and changed on the other: it stays")
        return {path: left} if left else {}
    old, mine, other = (tools.read(blob) for blob in (base, ours, theirs))
    together = tools.merge_text(old, mine, other)
    if together is not None and _sound(path, together):
        notes.append(f"{path} was changed on both sides: both changes are in it")
        return {path: Blob(ours.mode, tools.store(together))}
    notes.append(f"{path} was changed on both sides: yours stays, the other version is {beside(path).rsplit('/')[-1]}")
    return {path: ours, beside(path): theirs}


def _say_what_stays(path: str, base: bytes, ours: bytes, theirs: bytes, notes: list[str]) -> None:
    """Name the entries that one side took out of a daybook and that stay for all that."""
    old, mine, other = (_keys(_lines(page)) for page in (base, ours, theirs))
    for gone, where in ((old & other - mine, "here"), (old & mine - other, "on the other side")):
        if gone:
            count = "1 entry was" if len(gone) == 1 else f"{len(gone)} entries were"
            verb = "it stays" if len(gone) == 1 else "they stay"
            notes.append(f"{path}: {count} taken out {where}: {verb}; `fermtui strike` takes an entry back")


def _sound(path: str, data: bytes) -> bool:
    if not path.endswith(".toml"):
        return True
    try:
        parse_toml(data)
    except Malformed:
        return False
    return True

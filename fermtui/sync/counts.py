"""Count what a commit of a cellar has more or less than another: entries by key, other files by content."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from fermtui.daybook.places import DAYBOOK
from fermtui.sync.git import Git, Tree
from fermtui.sync.merge import entry_key

NAMED_MOST = 5


def counted(count: int) -> str:
    """`1 entry`, `2 entries`."""
    return "1 entry" if count == 1 else f"{count} entries"


def added(git: Git, old: str | None, new: str) -> tuple[int, int]:
    """Return how many entries and how many other files commit `new` has more than `old`, or other ones.

    A corrected entry counts as one that was added; a file that was moved counts once.
    """
    before, after = _tree(git, old), git.tree(new)
    old_lines, new_lines = _lines(git, before, after), _lines(git, after, before)
    kept = {blob.sha for blob in after.values()}
    changed = {path for path, blob in after.items() if before.get(path) != blob and not _is_daybook(path)}
    gone = [path for path, blob in before.items() if path not in after and blob.sha not in kept]
    gone = [path for path in gone if not _is_daybook(path)]
    return (new_lines - old_lines).total(), len(changed) + len(gone)


def missing_entries(git: Git, olds: Iterable[str | None], new: str) -> tuple[int, tuple[str, ...]]:
    """Return how many entries of the commits `olds` stand in no daybook of `new`, with a sentence for each daybook."""
    after = git.tree(new)
    lost: set[str] = set()
    notes = []
    for old in olds:
        before = _tree(git, old)
        pages = _pages(git, before, after)
        still_there = _keys(_lines(git, after, before)) if pages else Counter()
        for path, page in sorted(pages.items()):
            keys = Counter(key for line in page if (key := entry_key(line)))
            gone = (keys - still_there).keys() - lost
            still_there -= keys
            if gone:
                lost |= gone
                stands, it = ("stands", "it") if len(gone) == 1 else ("stand", "them")
                shown = f"git show {(old or '')[:12]}:{path}"
                notes.append(f"{path}: {counted(len(gone))} {stands} in no daybook any more; `{shown}` has {it}")
    more = [f"and the same in {len(notes) - NAMED_MOST} further daybooks"] if len(notes) > NAMED_MOST else []
    return len(lost), (*notes[:NAMED_MOST], *more)


def _tree(git: Git, commit: str | None) -> Tree:
    return git.tree(commit) if commit else {}


def _is_daybook(path: str) -> bool:
    return path.endswith(f"/{DAYBOOK}")


def _pages(git: Git, tree: Tree, other: Tree) -> dict[str, list[bytes]]:
    """Return the entry lines of those daybooks of a tree whose content is in none of the other's."""
    known = {blob.sha for path, blob in other.items() if _is_daybook(path)}
    wanted = {path: blob.sha for path, blob in tree.items() if _is_daybook(path) and blob.sha not in known}
    read = git.read_all(wanted.values())
    return {path: [line.strip(b" \t\r") for line in {*read[sha].split(b"\n")} if entry_key(line.strip(b" \t\r"))]
            for path, sha in wanted.items()}  # fmt: skip


def _lines(git: Git, tree: Tree, other: Tree) -> Counter[bytes]:
    return Counter(line for page in _pages(git, tree, other).values() for line in page)


def _keys(lines: Counter[bytes]) -> Counter[str]:
    return Counter(key for line in lines.elements() if (key := entry_key(line)))

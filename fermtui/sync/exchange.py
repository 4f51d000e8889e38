"""Keep one cellar on several computers in step through the maker's own git: commit, fetch, merge, push."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import NamedTuple

from fermtui.daybook.append import LOCK, locked
from fermtui.daybook.files import ASIDE, NotWritten, why_not, write_new
from fermtui.daybook.places import GIT_ATTRIBUTES, PAST, SCHEDULES, VESSELS, Cellar, real_place
from fermtui.daybook.problem import Problem
from fermtui.sync.counts import added, counted, missing_entries
from fermtui.sync.git import Git, NoAnswer, NotSynced, open_git
from fermtui.sync.merge import Tools, reunite

LINK, MODULE = "120000", "160000"  # git's modes
SEEN = "refs/fermtui/seen"  # where HEAD stood after the last sync: what was lost since is named
WAIT_S = 20.0
TRIES = 3  # somebody else may send between our fetch and our push
PUSH_REFUSED = 1  # what git push exits with then; it is 128 where the other side cannot be reached
_OURS_ALONE = (".", f":(exclude){LOCK}", ":(exclude,glob)**/.start-*/**", f":(exclude,glob)**/.*{ASIDE}")


class Synced(NamedTuple):
    """What came from the other computers and what went to them, in entries and in other files.

    `same` says that both sides held the same before. `lost` counts entries that git held and that stand nowhere now.
    `notes` are sentences for the maker, `waiting` the files of which another version lies next to them.
    """

    came: int
    went: int
    files_came: int
    files_went: int
    same: bool
    lost: int
    notes: tuple[str, ...]
    waiting: tuple[Problem, ...]
    remote: str | None

    @property
    def line(self) -> str:
        """The whole in one line."""
        if self.remote is None:
            return f"{counted(self.went)} saved in git; there is no remote to send them to"
        if self.same and not self.lost:
            return f"in step with {self.remote}"
        files = [
            f"{count} other {'file' if count == 1 else 'files'} {verb}"
            for count, verb in ((self.files_came, "came"), (self.files_went, "went"))
            if count
        ]
        entries = f"{counted(self.came)} came from {self.remote}, {counted(self.went)} went there"
        return "; ".join([entries, *files])


class Patience(NamedTuple):
    """How long the other side may say nothing, who is told when it takes longer than a second, and who may end it."""

    wait_s: float = WAIT_S
    waits: Callable[[str], None] = lambda _: None
    stopped: Callable[[], bool] = lambda: False


def sync(cellar: Cellar, patience: Patience = Patience()) -> Synced:  # noqa: B008 - a frozen tuple
    """Commit what is here, fetch what is there, make one cellar of both and push it.

    Raises NotSynced with one sentence; what was committed until then stays committed. Holds the cellar's lock while
    files change. The cellar must be the top of its repository, on a branch, with no merge under way.
    """
    git = open_git(cellar.path)
    branch = _ready(git)
    before = git.say("rev-parse", "-q", "--verify", "HEAD")
    held = (git.say("rev-parse", "-q", "--verify", SEEN), before)
    with _hold(cellar):
        for place in (VESSELS, PAST, SCHEDULES):
            real_place(cellar, place)
        _save(git)
    remote = _remote(git, branch)
    if remote is None:
        lost, notes = _compare(git, held)
        went, files = added(git, before, "HEAD")
        return Synced(0, went, 0, files, same=False, lost=lost, notes=notes, waiting=waiting(cellar), remote=None)
    came = went = files_came = files_went = 0
    same, notes = True, ()
    for tries_left in reversed(range(TRIES)):
        _network(git, remote, patience, "fetch", remote)
        there = _branch_there(git, remote, branch)
        theirs = git.say("rev-parse", "-q", "--verify", f"refs/remotes/{remote}/{there}")
        with _hold(cellar):
            _save(git)
            mine = git.ask("rev-parse", "HEAD").decode().strip()
            if theirs:
                _refuse_what_leaves(git, mine, theirs, remote)
                notes += _bring_together(git, mine, theirs)
        same = same and theirs is not None and git.tree(mine) == git.tree(theirs)
        more, more_files = added(git, mine, "HEAD")
        came, files_came = came + more, files_came + more_files
        went, files_went = added(git, theirs, "HEAD")
        if theirs == git.say("rev-parse", "HEAD"):
            break
        try:
            _network(git, remote, patience, "push", "-u", remote, f"HEAD:refs/heads/{there}")
            break
        except NotSynced as fault:
            if not tries_left or fault.status != PUSH_REFUSED:
                raise
    lost, named = _compare(git, held)
    return Synced(came, went, files_came, files_went, same, lost, notes + named, waiting(cellar), remote)


def waiting(cellar: Cellar) -> tuple[Problem, ...]:
    """Return a problem for each file of which another version still lies next to it."""
    found: list[Path] = []
    heads = [f"{place}/*/vessel-other.toml" for place in (VESSELS, PAST)]
    for pattern in ("cellar-other.toml", f"{SCHEDULES}/*-other.toml", *heads):
        found += sorted(cellar.path.glob(pattern))
    return tuple(Problem("other_version", path.relative_to(cellar.path).as_posix()) for path in found)


@contextlib.contextmanager
def _hold(cellar: Cellar) -> Iterator[None]:
    try:
        with locked(cellar):
            yield
    except NotWritten as fault:
        raise NotSynced(str(fault)) from fault
    except OSError as fault:
        raise NotSynced(f"not synced: {why_not(fault)}") from fault


def _ready(git: Git) -> str:
    """The branch, or NotSynced with what is in the way."""
    top = git.say("rev-parse", "--show-toplevel")
    if top is None:
        raise NotSynced("the cellar is no git repository yet: run git init in it, then git remote add origin ...")
    if os.path.realpath(top) != os.path.realpath(git.path):
        raise NotSynced(f"the cellar lies inside the repository {top}: sync works only where the cellar is its top")
    folder = Path(os.path.realpath(git.path), git.say("rev-parse", "--git-dir") or ".git")
    for name in ("MERGE_HEAD", "rebase-merge", "rebase-apply", "CHERRY_PICK_HEAD", "REVERT_HEAD"):
        if (folder / name).exists():
            raise NotSynced("git is in the middle of a merge or rebase here: finish or abort that first")
    branch = git.say("symbolic-ref", "-q", "--short", "HEAD")
    if branch is None:
        raise NotSynced("no branch is checked out in the cellar: run git switch main, or how your branch is called")
    return branch


def _network(git: Git, remote: str, patience: Patience, *words: str) -> None:
    wait_s, waits, stopped = patience
    address = git.say("remote", "get-url", remote) or remote
    at = remote if "@" in address.partition("://")[2] else f"{remote} ({address})"  # it may hold a password
    try:
        told = partial(waits, f"waiting for {at}, up to {wait_s:g} seconds")
        git.exchange(*words, wait_s=wait_s, waits=told, stopped=stopped)
    except NoAnswer:
        raise NotSynced(
            f"saved here, but not sent: {at} did not answer within {wait_s:g} seconds; "
            f"`fermtui sync --wait {2 * wait_s:g}` waits longer"
        ) from None
    except NotSynced as fault:
        raise NotSynced(f"saved here, but not sent: {fault}", fault.status) from None


def _refuse_what_leaves(git: Git, mine: str, theirs: str, remote: str) -> None:
    """Raise NotSynced where the other side holds a link that is not here, or a file in the place of a folder."""
    here = git.tree(mine)
    for path, blob in git.tree(theirs).items():
        if blob.mode in (LINK, MODULE) and here.get(path) != blob:
            what = "a symbolic link, which may lead anywhere" if blob.mode == LINK else "a repository of its own"
        elif path in (VESSELS, PAST, SCHEDULES):
            what = "a file where a folder should be"
        else:
            continue
        raise NotSynced(f"saved here, but not brought together: {path} at {remote} is {what}; remove it there")


def _save(git: Git) -> None:
    attributes = git.path / ".gitattributes"
    if not attributes.exists():
        write_new(attributes, GIT_ATTRIBUTES.encode())
    git.ask("add", "-A", "--", *_OURS_ALONE)
    git.ask("rm", "-q", "--cached", "--ignore-unmatch", "--", LOCK)
    if git.say("diff", "--cached", "--quiet", "--no-ext-diff", "--no-textconv") is None:
        git.ask("commit", "-q", "-m", "Cellar as it stands here")


def _remote(git: Git, branch: str) -> str | None:
    """The remote of the branch, or the only one there is."""
    named = git.say("config", f"branch.{branch}.remote")
    remotes = (git.say("remote") or "").split()
    if named in remotes:
        return named
    if len(remotes) > 1 and "origin" not in remotes:
        raise NotSynced("there are several remotes: choose one with git push -u REMOTE BRANCH")
    return "origin" if "origin" in remotes else next(iter(remotes), None)


def _branch_there(git: Git, remote: str, branch: str) -> str:
    """The branch over there: the one that is followed, the one of the same name, or the only one."""
    followed = git.say("config", f"branch.{branch}.merge")
    if followed:
        return followed.removeprefix("refs/heads/")
    listed = (git.say("for-each-ref", "--format=%(refname)", f"refs/remotes/{remote}") or "").split()
    names = [name.removeprefix(f"refs/remotes/{remote}/") for name in listed]
    names = [name for name in names if name != "HEAD"]
    return names[0] if len(names) == 1 and branch not in names else branch


def _compare(git: Git, held: Iterable[str | None]) -> tuple[int, tuple[str, ...]]:
    """Return what git held and holds no more, by the hand of another program too, and remember where HEAD stands."""
    lost, notes = missing_entries(git, held, "HEAD")
    git.say("update-ref", SEEN, "HEAD")
    return lost, notes


def _bring_together(git: Git, mine: str, theirs: str) -> tuple[str, ...]:
    """Make HEAD hold what both commits hold; also where one is behind the other, for it may have lost something."""
    base = git.say("merge-base", mine, theirs)
    if mine == theirs:
        return ()
    trees = [git.tree(commit) if commit else {} for commit in (base, mine, theirs)]
    files, notes = reunite(trees[0], trees[1], trees[2], Tools(git.read, git.store, git.merge_text))
    if base == theirs and files == trees[1]:
        return notes
    if base == mine and files == trees[2]:
        git.ask("merge", "-q", "--ff-only", theirs)
        return notes
    parents = [word for commit in (mine, theirs) if commit != base for word in ("-p", commit)]
    made = git.ask("commit-tree", git.write_tree(files), *parents, "-m", "Bring both cellars together")
    git.ask("merge", "-q", "--ff-only", made.decode().strip())  # refuses to touch a file that was edited meanwhile
    return notes

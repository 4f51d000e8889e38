"""What one side took out stays while the other holds it, and what is lost all the same is named with its commit."""

from __future__ import annotations

import shutil

import pytest

from fermtui.daybook.archive import move_to_past
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, vessel_names
from fermtui.daybook.vessel_file import read_vessel
from fermtui.sync.exchange import sync

from .conftest import VESSEL, git, note, same, texts

pytestmark = [pytest.mark.slow, pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")]

GONE = "what is done with goes with `fermtui put-away damson-26`"


def test_a_vessel_removed_on_one_side_stays_on_both_and_that_is_said(desk: Cellar, laptop: Cellar) -> None:
    start_vessel(laptop, "rowan-26", {"name": "Rowan"})
    shutil.rmtree(desk.path / "vessels" / VESSEL)
    told = sync(desk)
    assert told.notes == (f"damson-26 was removed here and stands on the other side: it is back; {GONE}",)
    assert told.line != "in step with origin"
    assert texts(desk) == ["brewed"]
    sync(laptop)
    sync(desk)
    assert vessel_names(laptop) == vessel_names(desk) == (VESSEL, "rowan-26")
    assert same(desk, laptop)


def removed_by_git_itself(side: Cellar) -> None:
    """Another program, or an older version of this one, sends a deletion."""
    git(side.path, "add", "-A", "--", ".", ":(exclude).lock")
    git(side.path, "commit", "-q", "-m", "a deletion")
    git(side.path, "push", "-q", "origin", "HEAD:main")


def test_a_vessel_that_the_remote_lacks_stays_here_and_goes_back_there(desk: Cellar, laptop: Cellar) -> None:
    shutil.rmtree(desk.path / "vessels" / VESSEL)
    removed_by_git_itself(desk)
    told = sync(laptop)
    assert told.notes == (f"damson-26 was removed on the other side: it stays; {GONE}",)
    assert told.line.startswith("0 entries came from origin, 1 entry went there")
    sync(desk)
    assert texts(desk) == texts(laptop) == ["brewed"]


@pytest.mark.parametrize("sent_by_git", [True, False])
@pytest.mark.parametrize("written", ["nowhere", "here", "there", "on both sides"])
def test_lines_deleted_from_a_daybook_stay(desk: Cellar, laptop: Cellar, written: str, sent_by_git: bool) -> None:
    for number in range(4):
        note(desk, f"entry {number}")
    sync(desk)
    sync(laptop)
    keys = {entry.key for entry in read_vessel(desk, VESSEL).entries}
    book = desk.path / "vessels" / VESSEL / "daybook.toml"
    lines = book.read_text().splitlines(keepends=True)
    book.write_text("".join(lines[:1] + lines[3:]))
    if written in ("here", "on both sides"):
        keys.add(note(desk, "from the desk"))
    if written in ("there", "on both sides"):
        keys.add(note(laptop, "from the laptop"))
    if sent_by_git:
        removed_by_git_itself(desk)
    told = [sync(side) for side in (laptop, desk, laptop)]
    said = "2 entries were taken out {}: they stay; `fermtui strike` takes an entry back"
    wheres = [said.format("here"), said.format("on the other side")]
    assert any(f"vessels/{VESSEL}/daybook.toml: {one}" in each.notes for each in told for one in wheres)
    for side in (desk, laptop):
        assert {entry.key for entry in read_vessel(side, VESSEL).entries} == keys
    assert same(desk, laptop)
    assert sum(each.lost for each in told) == 0
    assert sync(desk).line == "in step with origin"


def test_a_head_and_a_daybook_removed_alone_stay(desk: Cellar, laptop: Cellar) -> None:
    for name in ("vessel.toml", "daybook.toml"):
        (desk.path / "vessels" / VESSEL / name).unlink()
    removed_by_git_itself(desk)
    note(laptop, "more")
    sync(laptop)
    sync(desk)
    assert texts(desk) == texts(laptop) == ["brewed", "more"]
    assert read_vessel(desk, VESSEL).head is not None


def test_a_vessel_renamed_by_hand_is_one_vessel(desk: Cellar, laptop: Cellar) -> None:
    (desk.path / "vessels" / VESSEL).rename(desk.path / "vessels" / "plum")
    note(laptop, "under the old name")
    sync(desk)
    sync(laptop)
    sync(desk)
    for side in (desk, laptop):
        assert vessel_names(side) == ("plum",)
        assert texts(side, "plum") == ["brewed", "under the old name"]


def test_what_both_sides_took_out_is_counted_and_named_with_its_commit(desk: Cellar, laptop: Cellar) -> None:
    key = note(desk, "once")
    sync(desk)
    sync(laptop)
    for side in (desk, laptop):
        book = side.path / "vessels" / VESSEL / "daybook.toml"
        book.write_text("".join(line for line in book.read_text().splitlines(keepends=True) if key not in line))
    removed_by_git_itself(desk)
    told = sync(laptop)
    assert (told.lost, told.line == "in step with origin") == (1, False)
    note_ = next(said for said in told.notes if "stands in no daybook any more" in said)
    assert key in git(laptop.path, *note_.split("`")[1].split()[1:])


def test_what_another_program_took_out_of_the_only_copy_is_named(desk: Cellar) -> None:
    key = note(desk, "only here and there")
    sync(desk)
    shutil.rmtree(desk.path / "vessels" / VESSEL)
    removed_by_git_itself(desk)
    told = sync(desk)
    assert (told.lost, told.line) == (2, "0 entries came from origin, 0 entries went there")
    assert key in git(desk.path, *told.notes[0].split("`")[1].split()[1:])
    assert sync(desk).line == "in step with origin"


def test_a_lock_that_someone_put_under_git_stays_at_home(desk: Cellar, laptop: Cellar) -> None:
    note(laptop, "so that there is a lock here too")
    git(desk.path, "add", "-A", ".")
    git(desk.path, "commit", "-q", "-m", "with the lock")
    git(desk.path, "push", "-q", "origin", "HEAD:main")
    sync(laptop)
    sync(desk)
    assert ".lock" not in git(laptop.path, "ls-files").split()
    assert (desk.path / ".lock").exists()
    assert same(desk, laptop)


def test_without_a_remote_a_deletion_is_named_too(cellar: Cellar) -> None:
    git(cellar.path, "init", "-q", "-b", "main")
    key = note(cellar, "x")
    sync(cellar)
    shutil.rmtree(cellar.path / "vessels" / VESSEL)
    told = sync(cellar)
    assert told.lost == 1
    assert key in git(cellar.path, *told.notes[0].split("`")[1].split()[1:])


def test_lines_of_a_conflict_and_comments_are_no_entries(desk: Cellar, laptop: Cellar) -> None:
    with (desk.path / "vessels" / VESSEL / "daybook.toml").open("a") as book:
        book.write("<<<<<<< HEAD\n=======\n>>>>>>> theirs\n# a word\n")
    assert sync(desk).line == "0 entries came from origin, 0 entries went there"
    assert sync(laptop).line == "0 entries came from origin, 0 entries went there"


def test_a_page_that_came_is_not_in_step(desk: Cellar, laptop: Cellar) -> None:
    (desk.path / "cellar.toml").write_text('timezone = "Europe/Paris"\n')
    assert sync(desk).line == "0 entries came from origin, 0 entries went there; 1 other file went"
    assert sync(laptop).line == "0 entries came from origin, 0 entries went there; 1 other file came"
    move_to_past(desk, VESSEL)
    assert sync(desk).line == "0 entries came from origin, 0 entries went there; 1 other file went"
    assert sync(laptop).line == "0 entries came from origin, 0 entries went there; 1 other file came"
    assert sync(laptop).line == "in step with origin"

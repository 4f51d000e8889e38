"""Two computers and a remote: real clones, a bare repository on the disk, the maker's own git."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fermtui.daybook.archive import bring_back, move_to_past
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, create, past_names, vessel_names
from fermtui.daybook.vessel_file import read_vessel
from fermtui.sync.exchange import sync, waiting
from fermtui.sync.git import NotSynced
from fermtui.sync.merge import reunite

from .conftest import VESSEL, git, note, same, texts

pytestmark = [pytest.mark.slow, pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")]
# --- the daily way --------------------------------------------------------------------------------------------------


def test_entries_of_both_sides_end_up_on_both(desk: Cellar, laptop: Cellar) -> None:
    note(desk, "from the desk")
    note(laptop, "from the laptop")
    note(laptop, "and another")
    assert sync(desk).line == "0 entries came from origin, 1 entry went there"
    assert sync(laptop).line == "1 entry came from origin, 2 entries went there"
    assert sync(desk).line == "2 entries came from origin, 0 entries went there"
    assert sync(desk).line == sync(laptop).line == "in step with origin"
    assert texts(desk) == texts(laptop) == ["brewed", "from the desk", "from the laptop", "and another"]
    assert same(desk, laptop)


def test_ten_rounds_lose_nothing(desk: Cellar, laptop: Cellar) -> None:
    keys = set()
    for round_ in range(10):
        for side in (desk, laptop)[:: 1 if round_ % 3 else -1]:
            keys |= {note(side, "x" * round_) for _ in range(round_ % 3 + 1)}
            sync(side)
    sync(desk)
    sync(laptop)
    assert same(desk, laptop)
    assert keys < {entry.key for entry in read_vessel(desk, VESSEL).entries}


def test_a_new_vessel_arrives(desk: Cellar, laptop: Cellar) -> None:
    start_vessel(laptop, "rowan-26", {"name": "Rowan"})
    note(laptop, "mixed", "rowan-26")
    sync(laptop)
    note(desk, "meanwhile")
    sync(desk)
    assert vessel_names(desk) == (VESSEL, "rowan-26")
    assert texts(desk, "rowan-26") == ["mixed"]


def test_two_cellars_made_apart_join_in_one_remote(desk: Cellar, tmp_path: Path) -> None:
    other = create(tmp_path / "other", 'timezone = "Europe/Vienna"\nroom_m3 = 20\n')
    start_vessel(other, "rowan-26", {"name": "Rowan"})
    note(other, "mixed", "rowan-26")
    git(other.path, "init", "-q", "-b", "trunk")
    git(other.path, "remote", "add", "origin", str(tmp_path / "remote.git"))
    sync(other)
    sync(desk)
    assert same(desk, other)
    assert vessel_names(desk) == (VESSEL, "rowan-26")


def test_somebody_else_sends_between_our_fetch_and_our_push(
    desk: Cellar, laptop: Cellar, monkeypatch: pytest.MonkeyPatch
) -> None:
    from fermtui.sync import exchange as syncing

    note(desk, "from the desk")
    note(laptop, "from the laptop")
    true = syncing._network  # noqa: SLF001 - the moment between the two is inside
    calls: list[str] = []

    def slow(git_: object, remote: str, patience: object, *words: str) -> None:
        calls.append(words[0])
        if calls == ["fetch", "push"]:
            monkeypatch.setattr(syncing, "_network", true)
            sync(desk)
        true(git_, remote, patience, *words)  # type: ignore[arg-type]

    monkeypatch.setattr(syncing, "_network", slow)
    assert sync(laptop).line == "1 entry came from origin, 1 entry went there"
    sync(desk)
    assert same(desk, laptop)


# --- the hard ones --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("writer_first", [True, False])
def test_put_away_on_one_side_and_written_on_the_other(writer_first: bool, desk: Cellar, laptop: Cellar) -> None:
    move_to_past(desk, VESSEL)
    for number in range(30):  # more lines than the file had: no rename is recognised by likeness
        note(laptop, f"late {number}")
    first, second = (laptop, desk) if writer_first else (desk, laptop)
    sync(first)
    told = sync(second)
    assert any("moved on one side and written on the other: all of it is in past" in said for said in told.notes)
    sync(first)
    for side in (desk, laptop):
        assert (vessel_names(side), past_names(side)) == ((), (VESSEL,))
        assert len(texts(side, VESSEL, "past")) == 31
    assert same(desk, laptop)


def test_put_away_on_both_sides_and_brought_back_on_one(desk: Cellar, laptop: Cellar) -> None:
    note(desk, "last drop")
    move_to_past(desk, VESSEL)
    note(laptop, "the very last")
    move_to_past(laptop, VESSEL)
    sync(desk)
    sync(laptop)
    assert texts(laptop, VESSEL, "past") == ["brewed", "last drop", "the very last"]
    bring_back(laptop, VESSEL)
    sync(laptop)
    sync(desk)
    assert vessel_names(desk) == (VESSEL,)
    assert same(desk, laptop)


def test_a_vessel_that_got_a_number_when_it_was_put_away_is_still_the_same(desk: Cellar, laptop: Cellar) -> None:
    (desk.path / "past" / VESSEL).mkdir()
    (desk.path / "past" / VESSEL / "vessel.toml").write_text('name = "an older one"\n')
    assert move_to_past(desk, VESSEL) == "damson-26-2"
    note(laptop, "late")
    sync(desk)
    sync(laptop)
    assert texts(laptop, "damson-26-2", "past") == ["brewed", "late"]
    assert vessel_names(laptop) == ()


def test_a_folder_started_twice_under_one_name_is_renamed_not_merged(desk: Cellar, laptop: Cellar) -> None:
    for side, what in ((desk, "from the desk"), (laptop, "from the laptop")):
        start_vessel(side, "rowan-26", {"name": "Rowan"})
        note(side, what, "rowan-26")
    sync(desk)
    told = sync(laptop)
    assert told.notes == ("rowan-26 was started on both sides: the one from here is now rowan-26-2",)
    sync(desk)
    for side in (desk, laptop):
        assert vessel_names(side) == (VESSEL, "rowan-26", "rowan-26-2")
        assert texts(side, "rowan-26") == ["from the desk"]
        assert texts(side, "rowan-26-2") == ["from the laptop"]


def test_a_folder_copied_by_hand_is_one_vessel(desk: Cellar, laptop: Cellar) -> None:
    start_vessel(desk, "rowan-26", {"name": "Rowan"})
    note(desk, "mixed", "rowan-26")
    shutil.copytree(desk.path / "vessels" / "rowan-26", laptop.path / "vessels" / "rowan-26")
    note(laptop, "on the laptop", "rowan-26")
    note(desk, "on the desk", "rowan-26")
    sync(desk)
    assert sync(laptop).notes == ()
    assert texts(laptop, "rowan-26") == ["mixed", "on the laptop", "on the desk"]
    assert vessel_names(laptop) == (VESSEL, "rowan-26")


def test_a_head_changed_on_both_sides_is_reported_with_both_versions(desk: Cellar, laptop: Cellar) -> None:
    for side, name in ((desk, "Damson of the desk"), (laptop, "Damson of the laptop")):
        head = side.path / "vessels" / VESSEL / "vessel.toml"
        head.write_text(head.read_text().replace('"Damson"', f'"{name}"'))
    sync(desk)
    told = sync(laptop)
    assert told.notes[0] == (
        "vessels/damson-26/vessel.toml was changed on both sides: yours stays, the other version is vessel-other.toml"
    )
    sync(desk)
    folder = desk.path / "vessels" / VESSEL
    assert "of the laptop" in (folder / "vessel.toml").read_text()
    assert "of the desk" in (folder / "vessel-other.toml").read_text()
    assert [problem.path for problem in waiting(desk)] == ["vessels/damson-26/vessel-other.toml"]
    assert [problem.path for problem in sync(desk).waiting] == ["vessels/damson-26/vessel-other.toml"]
    (folder / "vessel-other.toml").unlink()
    sync(desk)
    sync(laptop)
    assert waiting(laptop) == ()
    assert same(desk, laptop)


def test_different_lines_of_a_page_changed_on_both_sides_are_both_in_it(desk: Cellar, laptop: Cellar) -> None:
    page = "".join(f"# {number}\n" for number in range(20))
    (desk.path / "cellar.toml").write_text('timezone = "Europe/Vienna"\n' + page)
    sync(desk)
    sync(laptop)
    (desk.path / "cellar.toml").write_text('timezone = "Europe/Paris"\n' + page)
    (laptop.path / "cellar.toml").write_text('timezone = "Europe/Vienna"\n' + page + "room_m3 = 20\n")
    sync(desk)
    assert sync(laptop).notes == ("cellar.toml was changed on both sides: both changes are in it",)
    assert (laptop.path / "cellar.toml").read_text() == 'timezone = "Europe/Paris"\n' + page + "room_m3 = 20\n"


def test_changes_that_together_are_no_toml_are_not_put_together(desk: Cellar, laptop: Cellar) -> None:
    page = "".join(f"# {number}\n" for number in range(20))
    (desk.path / "cellar.toml").write_text(page)
    sync(desk)
    sync(laptop)
    (desk.path / "cellar.toml").write_text("room_m3 = 20\n" + page)
    (laptop.path / "cellar.toml").write_text(page + "room_m3 = 30\n")
    sync(desk)
    assert "yours stays, the other version is cellar-other.toml" in sync(laptop).notes[0]
    assert (laptop.path / "cellar.toml").read_text() == page + "room_m3 = 30\n"
    assert (laptop.path / "cellar-other.toml").read_text() == "room_m3 = 20\n" + page


def test_a_line_corrected_on_one_side_is_corrected_on_both(desk: Cellar, laptop: Cellar) -> None:
    path = desk.path / "vessels" / VESSEL / "daybook.toml"
    path.write_text(path.read_text().replace("brewed", "mixed"))
    note(laptop, "later")
    sync(desk)
    sync(laptop)
    assert texts(laptop) == ["mixed", "later"]


def test_removed_on_one_side_and_written_on_the_other_stays(desk: Cellar, laptop: Cellar) -> None:
    shutil.rmtree(desk.path / "vessels" / VESSEL)
    note(laptop, "still here")
    sync(desk)
    sync(laptop)
    sync(desk)
    assert texts(desk) == ["brewed", "still here"]


def test_names_and_contents_of_any_kind_survive(desk: Cellar, laptop: Cellar) -> None:
    odd = desk.path / "vessels" / VESSEL / 'photo "ä\n1.jpg'
    odd.write_bytes(bytes(range(256)) * 10)
    note(laptop, "later")
    sync(desk)
    sync(laptop)
    assert (laptop.path / odd.relative_to(desk.path)).read_bytes() == odd.read_bytes()
    for side, data in ((desk, b"\0\1"), (laptop, b"\0\2")):
        (side.path / odd.relative_to(desk.path)).write_bytes(data)
        sync(side)
    assert (laptop.path / "vessels" / VESSEL / 'photo "ä\n1-other.jpg').read_bytes() == b"\0\1"


# --- what is refused ------------------------------------------------------------------------------------------------


def test_a_folder_that_is_no_repository_is_refused(cellar: Cellar) -> None:
    with pytest.raises(NotSynced, match="no git repository yet: run git init"):
        sync(cellar)


def test_a_cellar_inside_another_repository_is_refused(cellar: Cellar) -> None:
    git(cellar.path.parent, "init", "-q")
    with pytest.raises(NotSynced, match="only where the cellar is its top"):
        sync(cellar)
    assert git(cellar.path.parent, "status", "--porcelain") == "?? cellar/"


def test_without_a_remote_it_is_saved_here(cellar: Cellar) -> None:
    git(cellar.path, "init", "-q", "-b", "main")
    note(cellar, "x")
    assert sync(cellar).line == "1 entry saved in git; there is no remote to send them to"
    assert git(cellar.path, "ls-files").splitlines() == [
        ".gitattributes", "cellar.toml", "vessels/damson-26/daybook.toml", "vessels/damson-26/vessel.toml",
    ]  # fmt: skip


def test_a_remote_that_cannot_be_reached_is_said_and_nothing_is_lost(desk: Cellar, tmp_path: Path) -> None:
    (tmp_path / "remote.git").rename(tmp_path / "gone.git")
    note(desk, "while it was away")
    with pytest.raises(NotSynced, match="saved here, but not sent: git fetch failed"):
        sync(desk)
    (tmp_path / "gone.git").rename(tmp_path / "remote.git")
    assert sync(desk).line == "0 entries came from origin, 1 entry went there"


def test_a_remote_that_wants_a_password_is_not_asked(desk: Cellar) -> None:
    git(desk.path, "remote", "set-url", "origin", "https://127.0.0.1:1/cellar.git")
    with pytest.raises(NotSynced, match="saved here, but not sent"):
        sync(desk)


def test_a_merge_under_way_is_left_alone(desk: Cellar) -> None:
    (desk.path / ".git" / "MERGE_HEAD").write_text(git(desk.path, "rev-parse", "HEAD"))
    with pytest.raises(NotSynced, match="in the middle of a merge"):
        sync(desk)


def test_without_a_branch_it_is_refused(desk: Cellar) -> None:
    git(desk.path, "checkout", "-q", "--detach")
    with pytest.raises(NotSynced, match="no branch is checked out"):
        sync(desk)


def test_a_git_that_does_not_know_the_maker_says_what_to_do(cellar: Cellar, monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.delenv(f"GIT_{role}_NAME")
        monkeypatch.delenv(f"GIT_{role}_EMAIL")
    git(cellar.path, "init", "-q", "-b", "main")
    git(cellar.path, "config", "user.useConfigOnly", "true")
    with pytest.raises(NotSynced, match="git config user"):
        sync(cellar)


def test_a_page_edited_while_git_works_is_not_overwritten(
    desk: Cellar, laptop: Cellar, monkeypatch: pytest.MonkeyPatch
) -> None:
    head = "vessels/damson-26/vessel.toml"
    (laptop.path / head).write_text('name = "Damson of the laptop"\n')
    sync(laptop)
    note(desk, "x")

    def slow(*given_: object) -> object:
        (desk.path / head).write_text('name = "edited this very moment"\n')
        return reunite(*given_)  # type: ignore[arg-type]

    monkeypatch.setattr("fermtui.sync.exchange.reunite", slow)
    with pytest.raises(NotSynced, match="git merge failed"):
        sync(desk)
    assert (desk.path / head).read_text() == 'name = "edited this very moment"\n'

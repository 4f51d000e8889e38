"""Taking back, and taking the taking back back."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.entry import Entry
from fermtui.daybook.lines import read_lines
from fermtui.daybook.strikes import last_live_key, live, undo_order
from fermtui.wording.problems import reason as reason_of

START = datetime(2026, 3, 18, 20, 15, tzinfo=UTC)


def page(*lines: str) -> tuple[Entry, ...]:
    entries, problems = read_lines("\n".join(lines).encode(), "daybook.toml")
    assert problems == ()
    return entries


def note(key: str, minute: int = 0) -> str:
    return f'{key} = {{ at = {(START + timedelta(minutes=minute)).isoformat()}, did = "note", text = "x" }}'


def strike(key: str, entry: str, minute: int = 1) -> str:
    at = (START + timedelta(minutes=minute)).isoformat()
    return f'{key} = {{ at = {at}, did = "strike", entry = "{entry}" }}'


def keys(entries: tuple[Entry, ...]) -> list[str]:
    return [entry.key for entry in entries]


def test_a_strike_takes_back_and_stays_readable() -> None:
    standing, struck, problems = live(page(note("a"), note("b"), strike("c", "a")))
    assert keys(standing) == ["b", "c"]
    assert struck == {"a": "c"}
    assert problems == ()


def test_a_strike_of_a_strike_restores() -> None:
    standing, struck, _ = live(page(note("a"), strike("b", "a"), strike("c", "b", 2)))
    assert keys(standing) == ["a", "c"]
    assert struck == {"b": "c"}


def test_an_entry_struck_twice_stays_struck_when_one_strike_is_taken_back() -> None:
    standing, struck, _ = live(page(note("a"), strike("b", "a"), strike("c", "a"), strike("d", "b", 2)))
    assert keys(standing) == ["c", "d"]
    assert struck == {"a": "c", "b": "d"}


def test_strikes_in_a_ring_strike_nothing_and_are_named_with_their_lines() -> None:
    lines = [note("a"), strike("b", "c"), strike("c", "b"), strike("d", "d"), strike("e", "a")]
    data = "\n".join(lines).encode()
    standing, struck, problems = live(page(*lines), "vessels/x/daybook.toml", data)
    assert keys(standing) == ["b", "c", "d", "e"]
    assert struck == {"a": "e"}
    assert sorted((problem.line, problem.path) for problem in problems) == [
        (2, "vessels/x/daybook.toml"), (3, "vessels/x/daybook.toml"), (4, "vessels/x/daybook.toml"),
    ]  # fmt: skip


def test_a_strike_that_hangs_on_a_ring_still_strikes() -> None:
    standing, _, problems = live(page(strike("b", "c"), strike("c", "b"), strike("d", "b"), note("a")))
    assert keys(standing) == ["a", "c", "d"]
    assert len(problems) == 2


def test_a_strike_of_an_unknown_entry_is_a_problem() -> None:
    standing, struck, (problem,) = live(page(strike("b", "nowhere")), "f", strike("b", "nowhere").encode())
    assert keys(standing) == ["b"]
    assert struck == {}
    assert "names nowhere" in reason_of(problem)
    assert problem.line == 1


def test_a_chain_of_five_thousand_strikes_is_no_depth() -> None:
    lines = [note("k00000"), *(strike(f"k{n:05}", f"k{n - 1:05}", n) for n in range(1, 5001))]
    standing, struck, problems = live(page(*lines))
    assert len(struck) == 2500
    assert len(standing) == 2501
    assert problems == ()
    assert "k00000" in keys(standing)


ladders = st.lists(st.integers(0, 30), min_size=1, max_size=20)


def ladder(targets: list[int]) -> list[str]:
    """Three notes, then strikes, each of any entry before it."""
    lines = [note(f"k{n:02}") for n in range(3)]
    for number, target in enumerate(targets, start=3):
        lines.append(strike(f"k{number:02}", f"k{target % number:02}", number))
    return lines


@given(ladders)
def test_one_more_strike_and_its_strike_change_nothing(targets: list[int]) -> None:
    before = live(page(*ladder(targets)))[0]
    for entry in before:
        more = [*ladder(targets), strike("x1", entry.key, 90)]
        assert entry.key not in keys(live(page(*more))[0])
        restored = live(page(*more, strike("x2", "x1", 91)))[0]
        assert keys(restored) == [*keys(before), "x2"]


@given(ladders, st.randoms(use_true_random=False))
def test_the_order_of_lines_does_not_matter(targets: list[int], chance: random.Random) -> None:
    lines = ladder(targets)
    expected = live(page(*lines))
    chance.shuffle(lines)
    assert live(page(*lines)) == expected


@given(ladders)
def test_an_entry_stands_when_no_standing_strike_names_it(targets: list[int]) -> None:
    entries = page(*ladder(targets))
    standing, struck, _ = live(entries)
    named = {str(entry.written["entry"]) for entry in standing if entry.did == "strike"}
    assert {entry.key for entry in entries} - set(keys(standing)) == named == set(struck)


def test_the_last_entry_is_the_greatest_live_key_and_undo_of_undo_is_redo() -> None:
    lines = [note("20260318T181500123-aaaaaa"), note("20260318T181500124-aaaaaa"), note("zzz-by-hand")]
    last = last_live_key(live(page(*lines))[0])
    assert last == "20260318T181500124-aaaaaa"
    lines.append(strike("20260318T181500125-aaaaaa", last))
    again = last_live_key(live(page(*lines))[0])
    assert again == "20260318T181500125-aaaaaa"
    lines.append(strike("20260318T181500126-aaaaaa", again))
    assert "20260318T181500124-aaaaaa" in keys(live(page(*lines))[0])
    assert last_live_key([]) is None


def test_the_order_of_writing_tells_what_undo_and_redo_do_next() -> None:
    """Worked by hand: two notes, the second undone, the first struck for its own sake, that undone and restored."""

    def by(key: str, entry: str, how: str) -> str:
        return strike(key, entry).replace(" }", f', by = "{how}" }}')

    def order(*lines: str) -> tuple[list[str], list[str]]:
        done, undone = undo_order(("damson", entry) for entry in page(*lines))
        return [act.key for act in done], [act.key for act in undone]

    lines = [note("a"), note("b")]
    assert order(*lines) == (["a", "b"], [])
    lines.append(by("c", "b", "undo"))
    assert order(*lines) == (["a"], ["c"])
    assert order(*lines, by("d", "c", "redo")) == (["a", "d"], []), "b stands again, and undo takes it back by d"
    lines.append(strike("e", "a"))
    assert order(*lines) == (["a", "e"], []), "an x is an act, and after it nothing is left to restore"
    lines.append(by("f", "e", "undo"))
    assert order(*reversed(lines)) == (["a"], ["f"]), "the order of the lines does not matter"

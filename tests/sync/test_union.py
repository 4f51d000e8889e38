"""The union of the lines of two daybooks: laws that any merge keeps."""

from __future__ import annotations

from collections.abc import Iterable

from hypothesis import given
from hypothesis import strategies as st

from fermtui.sync.merge import entry_key, union_of_lines

# Comments go with the side that took them out; entries have a key and, corrected, another value.
comments = st.lists(st.sampled_from([b"# a", b"# b", b"<<<<<<< HEAD", b"torn = { at = 2026-03-0"]), unique=True)
entries = st.dictionaries(st.sampled_from(["k1", "k2", "k3", "k4"]), st.integers(0, 2))


@st.composite
def _pages(draw: st.DrawFn) -> list[bytes]:
    lines = [f"{key} = {{ did = \"note\", n = {value} }}".encode() for key, value in draw(entries).items()]
    return draw(st.permutations([*draw(comments), *lines]))


pages = _pages()


def page(lines: list[bytes]) -> bytes:
    return b"".join(line + b"\n" for line in lines)


def keys(lines: Iterable[bytes]) -> set[str]:
    return {key for line in lines if (key := entry_key(line))}


@given(pages, pages, pages)
def test_the_union_holds_every_entry_of_either_side_and_nothing_twice(
    base: list[bytes], ours: list[bytes], theirs: list[bytes]
) -> None:
    merged = union_of_lines(page(base), page(ours), page(theirs)).split(b"\n")[:-1]
    kept = {line for line in base if line in ours and line in theirs}
    by_the_book = kept | (set(ours) - set(base)) | (set(theirs) - set(base))
    assert len(merged) == len(set(merged))
    assert keys(merged) == keys(ours) | keys(theirs)
    assert by_the_book <= set(merged) <= {*ours, *theirs}
    assert {line for line in merged if not entry_key(line)} == {line for line in by_the_book if not entry_key(line)}
    assert {line for line in set(merged) - by_the_book if entry_key(line) in keys(by_the_book)} == set()


@given(pages, pages)
def test_a_side_that_did_nothing_adds_only_what_the_other_took_out(base: list[bytes], ours: list[bytes]) -> None:
    for mine, other in ((ours, base), (base, ours)):
        merged = union_of_lines(page(base), page(mine), page(other))
        assert {line for line in merged.split(b"\n") if line} == set(ours) | {
            line for line in base if (key := entry_key(line)) and key not in keys(ours)
        }
    assert union_of_lines(page(base), page(ours), page(ours)) == page(ours)


def test_the_union_does_not_join_lines_without_an_end() -> None:
    assert union_of_lines(b"", b"a\r\nb", b"c") == b"a\nb\nc\n"

"""The union of the lines of two daybooks: laws that any merge keeps."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fermtui.sync.merge import union_of_lines

pages = st.lists(st.sampled_from([b"a", b"b", b"c", b"d", b"e", b"f"]), unique=True)


def page(lines: list[bytes]) -> bytes:
    return b"".join(line + b"\n" for line in lines)


@given(pages, pages, pages)
def test_the_union_holds_what_either_side_added_and_nothing_twice(
    base: list[bytes], ours: list[bytes], theirs: list[bytes]
) -> None:
    merged = union_of_lines(page(base), page(ours), page(theirs)).split(b"\n")[:-1]
    kept = {line for line in base if line in ours and line in theirs}
    assert len(merged) == len(set(merged))
    assert set(merged) == kept | (set(ours) - set(base)) | (set(theirs) - set(base))


@given(pages, pages)
def test_the_union_with_an_unchanged_side_is_the_other_side(base: list[bytes], ours: list[bytes]) -> None:
    assert set(union_of_lines(page(base), page(ours), page(base)).split()) == set(ours)
    assert set(union_of_lines(page(base), page(base), page(ours)).split()) == set(ours)
    assert union_of_lines(page(base), page(ours), page(ours)) == page(ours)


def test_the_union_does_not_join_lines_without_an_end() -> None:
    assert union_of_lines(b"", b"a\r\nb", b"c") == b"a\nb\nc\n"

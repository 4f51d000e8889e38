"""A page as text and as Markdown."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fermtui.reports.document import Block, Pairs, Points, Section, Table, literal, markdown_lines, text_lines

LONG = "a sentence that is so long that it has to be broken over more than one line of a page, and again"
PAGE = [
    Section("Facts", Pairs([("stage", "ageing"), ("strength", LONG)])),
    Section("Rows", Table(("when", "what"), [("today", LONG), ("now", "x")])),
    Section("Plot", Block([" o ", "  o"])),
    Section("Notes", Points([LONG])),
]


def test_text_is_broken_and_hangs() -> None:
    lines = text_lines("Rowan", PAGE, width=40)
    assert lines[:4] == ["Rowan", "=====", "", "Facts"]
    assert lines[4] == "  stage     ageing"
    assert max(len(line) for line in lines) <= 40
    assert "   o" in lines


def test_markdown_has_its_tables_and_keeps_a_plot_in_shape() -> None:
    lines = markdown_lines("Rowan", PAGE)
    assert lines[0] == "# Rowan"
    assert "| when | what |" in lines
    assert "| --- | --- |" in lines
    assert "     o" in lines
    assert f"- {LONG}" in lines


@given(st.text(max_size=80))
def test_literal_text_leaves_no_sign_bare(text: str) -> None:
    bare = literal(text)
    at = 0
    while at < len(bare):
        if bare[at] == "\\":
            at += 2
            continue
        assert bare[at] not in "`*_[]<>#|~&!{}"
        at += 1


def test_a_line_that_looks_like_a_list_is_none() -> None:
    assert literal("- x") == "\\- x"
    assert literal("1.5 - x") == "1.5 - x"
    assert literal("1. x") == "1\\. x"

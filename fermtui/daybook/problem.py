"""A problem is a value: what is wrong in which file, and on which line. `wording.problems` makes the sentence."""

from typing import Literal, NamedTuple

Kind = Literal[
    "line",  # of a daybook, that is no entry: (what is wrong with it)
    "more_lines",  # such lines that are not listed one by one: (how many)
    "other_line",  # of the same key, that does not count: (the number of the line that does)
    "unknown_kind",  # of entry: (its word)
    "head",  # that cannot be read: (what is wrong with it)
    "no_head",
    "daybook",  # that cannot be read: (what is wrong with it)
    "vessel",  # whose folder cannot be read: (what is wrong with it)
    "strike_of_nothing",  # a strike that names no entry: (the key that it names)
    "strikes_in_ring",
    "no_receive",  # for a split: (this vessel, the other one, the key of the split)
    "no_split",  # for a receive or a top-up: (this vessel, the other one, the key, the kind of entry)
    "shared_container",  # two vessels stand in one: (the container, the other vessels)
    "standing",  # against a vessel by its entries: (the sentence of the guard)
    "one_moment",  # of two entries, whose order changes a number: (the sentence)
    "no_schedule",  # that the head names can be used: (its name)
    "schedule",  # (what is wrong with it)
    "step",  # of a schedule: (the step, what is wrong with it)
    "settings",  # a field of cellar.toml: (what is wrong with it)
    "no_settings",  # since cellar.toml is no TOML: (what is wrong with it)
    "unknown_setting",  # (its name)
    "folder_name",
    "other_version",  # of a file, beside it since a sync
]
UNREAD_LINES: frozenset[Kind] = frozenset({"line", "more_lines", "other_line", "unknown_kind", "daybook", "vessel"})
"""What leaves something that was done to a vessel out of its sums."""


class Problem(NamedTuple):
    """One thing wrong in one file; `values` are those that the kind lists above.

    `path` is relative to the cellar, with forward slashes. `line` counts from 1; None when the whole file is meant.
    """

    kind: Kind
    path: str
    line: int | None = None
    values: tuple[str | int, ...] = ()

"""The sentence of a problem: what is wrong, where, and what would be right."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.daybook.problem import Kind, Problem

_REASONS: Mapping[Kind, str] = {
    "line": "{0}",
    "more_lines": "this line and {0} further ones are no entries either",
    "other_line": "line {0} has the same key and other values, and counts; keep one",
    "unknown_kind": "{0!r} is no kind of entry that this version knows; it is kept",
    "head": "{0}",
    "no_head": 'the file is missing; it needs one line, as in name = "Damson"',
    "daybook": "{0}",
    "vessel": "{0}",
    "strike_of_nothing": "this strike names {0}, and no entry of this daybook has that key",
    "strikes_in_ring": "this strike takes part in a ring of strikes, so it strikes nothing",
    "no_receive": "this split has no receive in {1}: `fermtui write {1} receive from={0} entry={2}` writes it, "
    "`fermtui strike {0} {2}` takes this one back",
    "no_split": "this {3} has no split in {1}: `fermtui write {1} split into={0} entry={2}` writes it, "
    "`fermtui strike {0} {2}` takes this one back",
    "shared_container": "it stands in {0}, and so does {1}: write the racking of one, or correct a vessel.toml",
    "standing": "{0}",
    "one_moment": "{0}",
    "no_schedule": "schedule {0!r} cannot be used, so it has no tasks",
    "schedule": "{0}",
    "step": "step {0}: {1}",
    "settings": "{0}",
    "no_settings": "{0}; until then all settings are defaults",
    "unknown_setting": "{0} means nothing to this version: a slip of the pen?",
    "folder_name": "a vessel's folder is named with letters a to z, digits, hyphens and underscores; rename it",
    "other_version": "another computer changed this file too; take over what you want of this version and delete it",
}


def reason(problem: Problem) -> str:
    """One sentence without file and line. It may quote the file: pass it through `plain` before a screen sees it."""
    return _REASONS[problem.kind].format(*problem.values)


def problem_text(problem: Problem) -> str:
    """`vessels/damson/daybook.toml, line 3: ...`, to be passed through `plain` as well."""
    where = problem.path if problem.line is None else f"{problem.path}, line {problem.line}"
    return f"{where}: {reason(problem)}"


def problem_json(problem: Problem) -> dict[str, object]:
    """A problem as scripts read it."""
    return {"path": problem.path, "line": problem.line, "reason": reason(problem)}

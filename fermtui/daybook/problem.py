"""A problem is a value: which file, which line, what is wrong and what would be right."""

from typing import NamedTuple


class Problem(NamedTuple):
    """One thing wrong in one file.

    `path` is relative to the cellar, with forward slashes. `line` counts from 1; None when the whole file is meant.
    `reason` is one sentence without file and line. It may quote text from the file: pass it through `wording.plain`
    before it reaches a screen.
    """

    path: str
    line: int | None
    reason: str

    def __str__(self) -> str:
        where = self.path if self.line is None else f"{self.path}, line {self.line}"
        return f"{where}: {self.reason}"

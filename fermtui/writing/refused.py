"""What a person is told when nothing was written."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fermtui.schedule.guards.case import Finding

INPUT, GUARD = 1, 3


class Refused(Exception):
    """Nothing was written. `code` is the exit status: 1 input or file at fault, 3 a guard, whose are `findings`.

    `typed` is the same sentence for who types fields by name.
    """

    def __init__(
        self, reason: str, code: int = INPUT, findings: tuple[Finding, ...] = (), typed: str | None = None
    ) -> None:
        super().__init__(reason)
        self.code = code
        self.findings = findings
        self.typed = reason if typed is None else typed

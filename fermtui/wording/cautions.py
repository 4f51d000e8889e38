"""The cautions that belong to a moment, in short."""

from __future__ import annotations

from collections.abc import Iterable

from fermtui.must.cautions import Moment, cautions


def caution_lines(moments: Iterable[str]) -> list[str]:
    """The cautions of these moments, each once, a line each."""
    lines: dict[str, None] = {}
    for moment in moments:
        for caution in cautions(_moment(moment)):
            lines[caution.text] = None
    return list(lines)


def _moment(name: str) -> Moment:
    return name  # type: ignore[return-value]  # an unknown moment raises KeyError, on purpose

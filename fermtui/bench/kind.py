"""One kind of sum."""

from __future__ import annotations

from typing import NamedTuple

from fermtui.bench.options import Option


class Kind(NamedTuple):
    """One kind of sum: what it is for, what it takes, and the module in which a function of its name does it.

    By name, so that a sum waits only for the chemistry that it needs: loading all of it takes longer than the sum.
    """

    says: str
    options: tuple[Option, ...]
    module: str


def maybe(name: str, kind: str, like: str, says: str) -> Option:
    """An option that may be left out."""
    return Option(name, kind, like, says, optional=True)

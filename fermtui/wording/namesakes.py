"""Two vessels of one name are told apart by their folders."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping


def tags(shown: Mapping[str, str]) -> dict[str, str]:
    """By folder: the folder where another one has the same shown name, else nothing."""
    counts = Counter(shown.values())
    return {folder: folder if counts[name] > 1 else "" for folder, name in shown.items()}

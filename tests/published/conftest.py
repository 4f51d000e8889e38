"""Published values stand in data/*.csv, each file under a header that names its source and how far it was verified."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

Rows = list[dict[str, str]]


@pytest.fixture
def published() -> Callable[[str], Rows]:
    """Read the rows of tests/published/data/NAME.csv as text by column."""

    def read(name: str) -> Rows:
        with (Path(__file__).parent / "data" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(line for line in file if not line.startswith("#")))

    return read

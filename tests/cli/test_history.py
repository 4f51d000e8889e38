"""What finished batches teach reaches the forecast of the next one at once, however full the cache is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

YEAST = 'yeast = { name = "White Wine", tolerance_abv = 14 }'
NEXT = {
    "vessels/next/vessel.toml": f'name = "Next"\n[plan]\nvolume_l = 4\ngravity = 1.100\ntemp_c = 20\n{YEAST}\n',
    "vessels/next/daybook.toml": """
        { at = 2026-06-01T18:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1300 }
        { at = 2026-06-01T18:10:00Z, did = "read", sg = 1.100, temp_c = 20 }
        { at = 2026-06-01T18:20:00Z, did = "pitch" }
        """,
}
SLOW_HEAD = NEXT["vessels/next/vessel.toml"].replace("Next", "Slow")
SLOW_BOOK = """
    { at = 2026-01-01T18:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1300 }
    { at = 2026-01-01T18:10:00Z, did = "read", sg = 1.100, temp_c = 20 }
    { at = 2026-01-01T18:20:00Z, did = "pitch" }
    { at = 2026-01-08T18:00:00Z, did = "read", sg = 1.080, temp_c = 20 }
    { at = 2026-01-15T18:00:00Z, did = "read", sg = 1.060, temp_c = 20 }
    { at = 2026-01-26T18:00:00Z, did = "read", sg = 1.035, temp_c = 20 }
    { at = 2026-02-10T18:00:00Z, did = "read", sg = 1.014, temp_c = 20 }
    { at = 2026-03-02T18:00:00Z, did = "read", sg = 1.002, temp_c = 20 }
    { at = 2026-03-22T18:00:00Z, did = "read", sg = 0.998, temp_c = 20 }
    { at = 2026-04-06T18:00:00Z, did = "read", sg = 0.997, temp_c = 20 }
    """
BOTTLED = SLOW_BOOK + '{ at = 2026-05-01T18:00:00Z, did = "bottle", count = 5, size_ml = 750 }'
FIRST, LATER = "2026-06-02T08:00:00Z", "2026-06-02T09:00:00Z"


def finish(fermtui: Callable[..., Any], on: str) -> str:
    return str(fermtui("show", "next", "--json", "--on", on).json["forecast"]["finish"]["likely"])


@pytest.mark.parametrize("place", ["past", "vessels"], ids=["put away", "bottled"])
def test_a_batch_that_ends_moves_the_next_finish_at_once(
    place: str,
    cellar: Callable[..., Path],
    fermtui: Callable[..., Any],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    cellar({**NEXT, "vessels/slow/vessel.toml": SLOW_HEAD, "vessels/slow/daybook.toml": SLOW_BOOK})
    alone = finish(fermtui, FIRST)
    assert finish(fermtui, LATER) == alone
    if place == "past":
        (tmp_path / "cellar" / "past").mkdir()
        (tmp_path / "cellar" / "vessels" / "slow").rename(tmp_path / "cellar" / "past" / "slow")
    cellar({f"{place}/slow/daybook.toml": BOTTLED})
    learned = finish(fermtui, FIRST)
    assert learned > alone, "a slow batch before it makes the next one slower"
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "other cache"))
    assert finish(fermtui, FIRST) == learned

"""What a replay needs to go on is kept whole; that it then gives the same is a law in test_laws.py."""

from __future__ import annotations

from dataclasses import fields

from fermtui.replay.facts import Facts, Rest
from fermtui.replay.state import State

FROM_ELSEWHERE = {"head", "measures", "ledger"}


def test_all_that_a_replay_has_in_hand_is_in_the_facts_or_the_rest() -> None:
    kept = {*Facts._fields, *Rest._fields, *FROM_ELSEWHERE}
    assert {one.name for one in fields(State)} - kept == set()

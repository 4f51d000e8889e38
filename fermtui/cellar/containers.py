"""The containers of a cellar: those of cellar.toml, and those that a racking named with their size."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from fermtui.daybook.containers import named_container
from fermtui.daybook.settings import Container, Settings
from fermtui.replay.stage import nothing_left

if TYPE_CHECKING:
    from fermtui.cellar.loaded import LoadedVessel
    from fermtui.replay.facts import Facts


def with_named(settings: Settings, all_facts: Iterable[Facts]) -> Settings:
    """The settings with the containers that these vessels were racked into beside those of cellar.toml."""
    listed = {one.name for one in settings.containers}
    every = (one for facts in all_facts for one in facts.named_containers)
    named = {one.name: one.capacity_l for one in every if one.name not in listed}
    if not named:
        return settings
    own = tuple(Container(name, size_l) for name, size_l in sorted(named.items()))
    return settings._replace(containers=(*settings.containers, *own))


def self_contained(into: str, settings: Settings, known: Settings) -> str:
    """What a racking writes: a container that another racking named gets its size again, so that the line stands alone.

    `settings` are those of cellar.toml, `known` those with the containers that rackings named.
    """
    name = into.strip()
    size_l = known.capacities_l.get(name)
    if size_l is None or name in settings.capacities_l:
        return name
    return f"{name}, {size_l:g} L"


def holders(vessels: Iterable[LoadedVessel], settings: Settings) -> list[tuple[str, str]]:
    """Each vessel that holds something and the container that it stands in; of a plain size there may be many."""
    listed = settings.capacities_l
    return [
        (one.name, held)
        for one in vessels
        if (held := one.facts.container) and not nothing_left(one.facts) and not named_container(held, listed).plain
    ]


def shared(held: Iterable[tuple[str, str]]) -> list[tuple[str, str, tuple[str, ...]]]:
    """Of pairs (vessel, container): each vessel that is not alone in its container, and the others there."""
    by_container: dict[str, list[str]] = {}
    for vessel, container in held:
        by_container.setdefault(container, []).append(vessel)
    return [
        (vessel, container, tuple(other for other in together if other != vessel))
        for container, together in by_container.items()
        if len(together) > 1
        for vessel in together
    ]

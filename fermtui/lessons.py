"""What the maker's own finished vessels teach the forecast of the next one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.daybook.cache import content_key
from fermtui.daybook.cellar import PAST, past_names

if TYPE_CHECKING:
    from fermtui.forecast.priors import Lesson, Priors
    from fermtui.kept import Kept
    from fermtui.view import Watched

MOST = 60  # the newest; older ones say little that these do not, and each costs 25 ms when the cache is gone


def learned(watched: Watched) -> tuple[Priors, str]:
    """The priors that lean on finished vessels, put away or bottled, and a name for exactly these."""
    from fermtui.forecast.priors import DEFAULT_PRIORS, Priors

    watched.load_missing()  # or a vessel shown alone would lean on others than it does among all
    done = [kept for kept in list(watched.kept.values()) if kept.facts.lots]
    done += [watched.keep_one(name, PAST) for name in past_names(watched.cellar)]
    done = [kept for kept in done if kept.facts.pitched_at is not None and kept.facts.last_at is not None]
    done.sort(key=lambda kept: (kept.facts.pitched_at.timestamp() if kept.facts.pitched_at else 0.0, kept.name))
    lessons = [lesson for kept in done[-MOST:] if (lesson := _lesson(watched, kept)) is not None]
    if not lessons:
        return DEFAULT_PRIORS, "default"
    lessons.sort(key=lambda one: (one.og, one.pace, one.lag, one.end, one.yeast or ""))
    return Priors(tuple(lessons)), content_key(repr(lessons).encode())


def _lesson(watched: Watched, kept: Kept) -> Lesson | None:
    from fermtui.forecast.foretell import doses_in, evidence_of
    from fermtui.forecast.learning import FinishedVessel, lesson_of
    from fermtui.forecast.priors import Lesson
    from fermtui.schedule.steps import for_plan

    key = content_key(b"lesson", kept.key.encode(), str(kept.facts.last_at).encode())
    stored = watched.cache.get(key)
    if isinstance(stored, list):
        try:
            return Lesson(*stored) if stored else None
        except TypeError:
            pass
    doses = doses_in(for_plan(kept.schedule, kept.head.plan).steps) if kept.schedule else 0
    lesson = lesson_of(FinishedVessel(evidence_of(kept.facts, kept.head.plan, doses)))
    fields = [] if lesson is None else [getattr(lesson, name) for name in Lesson.__dataclass_fields__]
    watched.cache.put(key, fields)
    return lesson

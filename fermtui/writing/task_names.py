"""Which task is meant: by its key, by the name that is shown, or by as much of either as tells it apart."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from fermtui.wording.plain import plain
from fermtui.wording.tasks import task_text
from fermtui.writing.refused import Refused

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView
    from fermtui.schedule.task import Task

NOW = ("late", "due")


def task_named(view: VesselView, said: str) -> Task:
    """The task of this key or name (`dose-2`, `dose 2 of 3`, `rack`), capitals or not.

    Of several open ones that fit, the one that alone is due or late; of those that are called the same, the first.
    Raises Refused with a list of the open ones.
    """
    exact = view.task(said.strip())
    if exact is not None:
        return exact
    words = _bare(said)
    open_tasks = [task for task in view.tasks if task.is_open]
    settled = [task for task in view.tasks if not task.is_open]
    for fits in (_is_named, _begins):
        for among in (open_tasks, settled):
            found = [task for task in among if words and fits(task, words)]
            if len(found) > 1:
                found = [task for task in found if task.state in NOW] or found
            if found and len({task_text(task) for task in found}) == 1:
                return found[0]  # as an entry does that names no task
            if found and among is open_tasks:
                raise Refused(f"{plain(said, 60)!r} may mean {listed(found)} of {view.vessel}: say which")
    raise Refused(f"{view.vessel} has no task {plain(said, 60)!r}; {open_ones(view)}")


def open_ones(view: VesselView) -> str:
    """`open are: dose-2 (dose 2 of 3), rack-1 (rack off the lees)`."""
    return f"open are: {listed(task for task in view.tasks if task.is_open) or 'none'}"


def listed(tasks: Iterable[Task]) -> str:
    """Key and name of each, the name only where it says more."""
    return ", ".join(named(task) for task in tasks)


def named(task: Task) -> str:
    """`dose-2 (dose 2 of 3)`; `airlock`."""
    shown, key = task_text(task), plain(task.key, 60)
    return key if _bare(shown) == _bare(key) else f"{key} ({shown})"


def _is_named(task: Task, words: str) -> bool:
    return words in (_bare(task.key), _bare(task_text(task)), _bare(task.do))


def _begins(task: Task, words: str) -> bool:
    return _bare(task.key).startswith(words) or _bare(task_text(task)).startswith(words)


def _bare(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())

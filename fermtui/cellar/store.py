"""The whole cellar at one clock: every vessel, free containers, problems. Renews one vessel at a time."""

from collections.abc import Callable, Iterable
from datetime import datetime, tzinfo
from functools import cached_property, partial
from typing import TYPE_CHECKING, NamedTuple

from fermtui.cellar.cache import Cache, cache_path
from fermtui.cellar.containers import holders, with_named
from fermtui.cellar.forecasts import Sources, with_forecast, with_lazy_forecast
from fermtui.cellar.history import History, history_of, teaches
from fermtui.cellar.loaded import LoadedVessel, Loading, load_vessel, measures_of, schedule_missing, standing_of
from fermtui.cellar.tables import cached_settings
from fermtui.cellar.vessel_tasks import forecast_at, tasks_of
from fermtui.daybook.places import DAYBOOK, PAST, VESSELS, Cellar, misnamed, past_names, vessel_names
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Container, Settings, settings_of
from fermtui.daybook.transfers import missing
from fermtui.forecast.trouble import Trouble, trouble_of, with_chance
from fermtui.replay.facts import Act, Facts
from fermtui.replay.present import present
from fermtui.replay.stage import nothing_left, stage
from fermtui.schedule.task import Task

if TYPE_CHECKING:
    from fermtui.daybook.entry import Entry
    from fermtui.forecast.forecast import Forecast
    from fermtui.replay.present import Present
    from fermtui.schedule.standing import Standing


class VesselView:
    """One vessel at one clock. Litres at 20 °C, SG 20/20; None is not known.

    `forecast` is None while it has not been made, or where `forecast_reason` says why there is none. The numbers and
    the trouble are reckoned when they are asked for: a list of tasks needs neither.
    """

    def __init__(
        self,
        loaded: LoadedVessel,
        now: datetime,
        zone: tzinfo,
        forecast: "Forecast | None",
        tasks: tuple[Task, ...],
        problems: tuple[Problem, ...],
        standing: "tuple[Standing, ...]" = (),
    ) -> None:
        self.vessel = loaded.name
        self.name = loaded.head.name
        self.head = loaded.head
        self.facts = loaded.facts
        self.schedule = loaded.schedule
        self.standing = standing
        self.forecast_reason = loaded.forecast_reason
        self.forecast_ready = loaded.forecast_ready
        self.now = now
        self.zone = zone
        self.forecast = forecast
        self.tasks = tasks
        self.problems = problems

    @cached_property
    def present(self) -> "Present":
        """Volume, gravity, strength and what follows from them."""
        return present(self.facts, self.now, self.zone)

    @cached_property
    def stage(self) -> str:
        """One of story.stage.STAGES."""
        return stage(self.facts, self.now)

    @property
    def day(self) -> int | None:
        """Days since the day of pitching."""
        return self.present.day

    @property
    def volume_l(self) -> float | None:
        """Liquid and fruit."""
        return self.present.level_l

    @property
    def headspace_l(self) -> float | None:
        """What is free in the container."""
        return self.present.headspace_l

    @property
    def gravity(self) -> float | None:
        """Read, or reckoned since."""
        return self.present.sg

    @property
    def abv_percent(self) -> float | None:
        """% vol."""
        return self.present.abv_percent

    @property
    def abv_plus_minus(self) -> float | None:
        """Half width in % vol."""
        return self.present.abv_plus_minus

    @property
    def sugar_spent_percent(self) -> float | None:
        """Of the sugar that ever went in; frozen once sweetened."""
        return self.present.sugar_spent_percent

    @property
    def refermentable_plus_minus(self) -> float | None:
        """One standard deviation of the sugar that could ferment again, in g/L."""
        return self.present.refermentable_plus_minus

    @property
    def refermentable_g_per_l(self) -> float | None:
        """Sugar that could ferment again."""
        return self.present.refermentable_g_per_l

    @property
    def speed_sg_per_day(self) -> float | None:
        """Above 0 while the gravity falls."""
        return self.present.speed_sg_per_day

    @cached_property
    def trouble_found(self) -> Trouble | None:
        """The worst that is the matter with it, with its chance: asked where it is shown, for the model is read off."""
        found = trouble_of(self.facts, self.head.plan, self.forecast, self.now)
        return None if found is None else with_chance(found, self.forecast)

    @property
    def trouble(self) -> str | None:
        """The kind of trouble, or None."""
        found = trouble_of(self.facts, self.head.plan, self.forecast, self.now)
        return None if found is None else found.kind

    def task(self, key: str) -> Task | None:
        """The task of that step, or None."""
        return next((task for task in self.tasks if task.key == key), None)


class View(NamedTuple):
    """Every vessel at work at one clock, by folder name; `problems` of the whole cellar come first in `problems`."""

    now: datetime
    settings: Settings
    vessels: tuple[VesselView, ...]
    problems: tuple[Problem, ...]
    free_containers: tuple[Container, ...]

    def vessel(self, name: str) -> VesselView | None:
        """The vessel in that folder, or None."""
        return next((vessel for vessel in self.vessels if vessel.vessel == name), None)

    @property
    def all_problems(self) -> tuple[Problem, ...]:
        """The cellar's own problems and those of every vessel."""
        return self.problems + tuple(p for vessel in self.vessels for p in vessel.problems)


class CellarStore:
    """An opened cellar and what is remembered of its vessels. `at` reads it off at a clock."""

    def __init__(
        self,
        cellar: Cellar,
        stamp: Callable[[], datetime],
        cache: Cache | None = None,
        *,
        upto: datetime | None = None,
    ) -> None:
        """`stamp` tells the instant of writing, for the keys of entries; `upto` leaves out later entries."""
        self.cellar = cellar
        self.stamp = stamp
        self.cache = cache if cache is not None else Cache(cache_path(cellar))
        self.upto = upto
        self._read_settings()
        self.vessels: dict[str, LoadedVessel] = {}
        self.acknowledged: dict[str, dict[str, str]] = {}
        self._beside: dict[str, LoadedVessel | None] = {}
        self._history: History | None = None
        self._draws: Cache | None = None

    def load(self, names: Iterable[str] | None = None) -> None:
        """Read these vessels, or all at work; vessels that have gone are forgotten."""
        self._beside.clear()
        there = vessel_names(self.cellar)
        for name in there if names is None else names:
            if name in there:
                self._hold(name, self.keep_one(name))
        for name in [name for name in self.vessels if name not in there]:
            self._hold(name, None)

    def _hold(self, name: str, fresh: LoadedVessel | None) -> None:
        """Remember a vessel as it was read now, or forget one that has gone. One that ends teaches the others."""
        before = self.vessels.get(name)
        if fresh is not None:
            self.vessels[name] = fresh
        else:
            self.vessels.pop(name, None)
        if self._history is not None and (before is None or fresh is None or teaches(before) != teaches(fresh)):
            self._keep_answers()
            self._history = None
            for other, loaded in self.vessels.items():  # what they show stays until they are made again
                self.vessels[other] = loaded._replace(forecast_ready=False)

    @property
    def _loading(self) -> Loading:
        return Loading(self.cellar, self.settings, self.settings_bytes, self.cache, self.upto)

    def keep_one(self, name: str, place: str = VESSELS) -> LoadedVessel:
        """Read one vessel at work or put away, without remembering it."""
        return load_vessel(self._loading, name, place, self.vessels.get(name) if place == VESSELS else None)

    def load_one(self, name: str) -> LoadedVessel | None:
        """Read one vessel, at work or put away, without the others; None when there is none of that name."""
        if name in vessel_names(self.cellar):
            self._hold(name, self.keep_one(name))
            return self.vessels[name]
        return self.keep_one(name, PAST) if name in past_names(self.cellar) else None

    def names(self) -> tuple[str, ...]:
        """The folder names of the vessels at work."""
        return vessel_names(self.cellar)

    def load_missing(self) -> None:
        """Read the vessels at work that have not been read yet."""
        self.load([name for name in self.names() if name not in self.vessels])

    def renew(self, name: str) -> None:
        """Read one vessel again after something was written to it."""
        self.load([name])

    def beside(self, name: str) -> LoadedVessel | None:
        """A vessel at work or put away, read if need be but not counted among those that are shown."""
        if name in self.vessels:
            return self.vessels[name]
        if name not in self._beside:
            place = VESSELS if name in vessel_names(self.cellar) else PAST
            there = place == VESSELS or name in past_names(self.cellar)
            self._beside[name] = self.keep_one(name, place) if there else None
        return self._beside[name]

    def problems_of(self, loaded: LoadedVessel) -> tuple[Problem, ...]:
        """What is wrong with its files, and what was poured without its other half."""
        path = f"{loaded.place}/{loaded.name}/{DAYBOOK}"
        return loaded.problems + tuple(
            missing(loaded.name, transfer, path)
            for transfer in loaded.transfers
            if (other := self.beside(transfer.other)) is None
            or not any(transfer.fits(loaded.name, o) for o in other.transfers)
        )

    def standing_of(self, loaded: LoadedVessel) -> "tuple[Standing, ...]":
        """What guards refuse among its entries as they stand now, and bottles that may burst."""
        known = loaded.standing
        return standing_of(self._loading, loaded.name, loaded.place) if known is None else known

    def facts_upto(self, loaded: LoadedVessel, at: datetime) -> Facts:
        """The facts as they stood at that moment, for an entry that is written late.

        What was struck later never happened, so it does not count then either.
        """
        if loaded.facts.last_at is None or loaded.facts.last_at <= at:
            return loaded.facts
        return self.facts_where(loaded, lambda entries: [entry for entry in entries if entry.at <= at])

    def facts_where(self, loaded: LoadedVessel, wanted: "Callable[[Iterable[Entry]], list[Entry]]") -> Facts:
        """The facts that those of its live entries give which `wanted` picks."""
        from fermtui.daybook.strikes import live  # with the replay: a vessel whose files are known is not replayed
        from fermtui.daybook.vessel_file import read_vessel
        from fermtui.replay.replay import replay

        file = read_vessel(self.cellar, loaded.name, loaded.place)
        standing, _, _ = live([entry for entry in file.entries if self.upto is None or entry.at <= self.upto])
        return replay(loaded.head, wanted(standing), measures_of(self.settings))

    def occupied(self, but: str = "") -> frozenset[str]:
        """The containers that vessels other than `but` stand in."""
        return frozenset(container for name, container in self.holders() if name != but)

    def held_by(self, container: str) -> str | None:
        """What the vessel is called that stands in this container, or None."""
        return next((self.vessels[name].head.name for name, held in self.holders() if held == container), None)

    def holders(self) -> list[tuple[str, str]]:
        """Each vessel at work and the container that it fills; a plain size is no certain one."""
        self.load_missing()
        return holders(self.vessels.values(), self.settings)

    def reload_settings(self) -> None:
        """Read cellar.toml again, and with it everything that hangs on it."""
        self._read_settings()
        self._history = None
        self.load()

    def _read_settings(self) -> None:
        read = partial(cached_settings, self.cache)
        self.settings, self.settings_problems, self.settings_bytes = settings_of(self.cellar, read)

    def without_forecast(self) -> list[str]:
        """The vessels whose forecast has not been made yet."""
        return [name for name, loaded in self.vessels.items() if not loaded.forecast_ready]

    def history(self) -> History:
        """What the maker's own finished vessels teach; read again only when one of them changed."""
        if self._history is None:
            self.load_missing()  # or a vessel shown alone would lean on others than it does among all
            self._history = history_of(self._loading, list(self.vessels.values()))
        return self._history

    def _draws_cache(self) -> Cache:
        """The forecasts themselves, in a file of their own: their stored answers are enough for most starts."""
        if self._draws is None:
            path = cache_path(self.cellar)
            self._draws = Cache(path.with_name(f"{path.stem}-draws.json"))
        return self._draws

    def make_forecasts(self, names: Iterable[str] | None = None) -> None:
        """Make the forecasts that are missing, from the cache where they are known. Takes about 25 ms each if not."""
        self._with_forecast(with_forecast, names)

    def prepare_forecasts(self, names: Iterable[str] | None = None) -> None:
        """Have the forecasts that are missing made where something asks for them, and no others."""
        self._with_forecast(with_lazy_forecast, names)

    def _with_forecast(
        self, give: Callable[[LoadedVessel, Sources], LoadedVessel], names: Iterable[str] | None
    ) -> None:
        for name in self.without_forecast() if names is None else names:
            loaded = self.vessels.get(name)
            if loaded is not None and not loaded.forecast_ready:
                made = give(loaded, Sources(self.cache, self._draws_cache, self.history))
                # Another thread may have renewed the vessel meanwhile: then this forecast is of the past.
                if self.vessels.get(name) is loaded:
                    self.vessels[name] = made

    def save(self) -> None:
        """Keep what was computed for the next start; losing it changes nothing but speed."""
        self._keep_answers()
        self.cache.save()
        if self._draws is not None:
            self._draws.save()

    def _keep_answers(self) -> None:
        for loaded in list(self.vessels.values()):
            if loaded.answers is not None and loaded.answers_parts is not None and loaded.answers.grown:
                self.cache.put("answers", loaded.answers.known, *loaded.answers_parts())

    def at(self, now: datetime, tell: Callable[[int, int], None] | None = None) -> View:
        """The whole cellar at this clock. `tell` hears how many of all vessels have been seen."""
        seen: list[VesselView] = []
        for _, loaded in sorted(self.vessels.items()):
            seen.append(self.see(loaded, now))
            if tell is not None:
                tell(len(seen), len(self.vessels))
        views = tuple(seen)
        problems = self.settings_problems + misnamed(self.cellar)
        return View(now, self.settings, views, problems, self._free(views))

    def see(self, loaded: LoadedVessel, now: datetime) -> VesselView:
        """One vessel at this clock."""
        forecast = forecast_at(loaded, now)
        vessel_tasks = tasks_of(loaded, forecast, self.settings, now, lambda: self._inherited(loaded))
        problems, standing = self.problems_of(loaded), self.standing_of(loaded) + schedule_missing(loaded)
        return VesselView(loaded, now, self.settings.zone, forecast, vessel_tasks, problems, standing)

    def _inherited(self, loaded: LoadedVessel) -> tuple[Act, ...]:
        """What was done to the vessels that this one was poured off from, up to then: a split keeps what is done."""
        inherited: tuple[Act, ...] = ()
        visited = {loaded.name}
        while loaded.head.parent is not None:  # a mere blend brings no history along
            poured = next((one for one in loaded.transfers if one.did == "receive"), None)
            parent = self.beside(loaded.head.parent)
            if poured is None or parent is None or parent.name in visited or poured.other != parent.name:
                break
            visited.add(parent.name)
            acts = parent.facts.acts
            inherited = acts[: next((at for at, act in enumerate(acts) if act.key == poured.other_key), 0)] + inherited
            loaded = parent
        return inherited

    def _free(self, views: tuple[VesselView, ...]) -> tuple[Container, ...]:
        taken = {view.facts.container for view in views if not nothing_left(view.facts)}
        known = with_named(self.settings, (view.facts for view in views))
        return tuple(one for one in known.containers if one.name not in taken)

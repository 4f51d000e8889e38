"""A new vessel: what is wanted to the left, the plan that follows from it to the right, seen before it is written."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.suggester import SuggestFromList
from textual.widgets import Input

from fermtui import units
from fermtui.daybook.fields import Unfit
from fermtui.daybook.files import NotWritten
from fermtui.daybook.places import past_names
from fermtui.explain.plan import explain_plan
from fermtui.must.fruit import fruit_names, treatments
from fermtui.reports.came_out import CameOut, came_out
from fermtui.reports.needs import in_stock
from fermtui.reports.plan_page import all_notes, missing_lines
from fermtui.schedule.library import library_names, own_names
from fermtui.tui.actions import START, bindings
from fermtui.tui.hints import TAKEN, narrowed
from fermtui.tui.plan_lines import day_lines, plan_lines, sum_lines
from fermtui.tui.screens.schedules import Schedules
from fermtui.tui.screens.sources import steps_lines
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.start_fields import FIELDS, hints, label_of
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.units import Units, Unreadable
from fermtui.wording.cautions import caution_lines
from fermtui.wording.plain import plain
from fermtui.wording.said import in_units
from fermtui.writing.planning import Preview, like, preview, write_plan
from fermtui.writing.second_vessel import read_second
from fermtui.writing.wanted import PlanUnfit, Wanted, read_strength, read_sweetness

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fermtui.reports.stock_use import StockItem
    from fermtui.tui.cellar_app import CellarApp

ENDS = 8
"""Cells of a line that words may leave free."""
SIZE = re.compile(r"[\d.,]+ *[a-zA-Z]{0,7}\Z")


class StartScreen(Screen[str | None]):
    """Enter shows that it is understood, Enter once more writes it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(START)
    AUTO_FOCUS = "#want-name"

    def __init__(self) -> None:
        super().__init__()
        self.plan: Preview | None = None
        self.asked = False
        self.answers = ""
        self._listed: dict[str, tuple[str, ...]] = {}
        self._stock: Mapping[StockItem, float] = {}

    @property
    def fermtui(self) -> CellarApp:
        """The app, by its own type."""
        return cast("CellarApp", self.app)

    def compose(self) -> ComposeResult:
        choices = self._listed = self._choices()
        title: Line = [
            ("  a new vessel", "strong"), ("   nothing is written yet   ", "quiet"),
            (TAKEN, "key"), (" is what an empty field means", "quiet"),
        ]  # fmt: skip
        yield PaintedText([title], id="head")
        with Horizontal(id="start"):
            with Vertical(id="wants"):
                for field in FIELDS:
                    with Horizontal(classes="field"):
                        label = label_of(field, self.fermtui.session.view.settings.units)
                        yield PaintedText([[(f"  {label}", "quiet")]], classes="label")
                        listed = choices.get(field.name, ())
                        suggester = SuggestFromList(listed, case_sensitive=False) if listed else None
                        yield Input(compact=True, suggester=suggester, id=f"want-{field.name}", max_length=80)
            yield PaintedText(id="plan")
        yield PaintedText(id="choices")
        yield PaintedText(id="message")
        yield KeyLine(START, id="keys")

    def _choices(self) -> dict[str, tuple[str, ...]]:
        """What can be picked, by field."""
        store = self.fermtui.session.store
        settings = store.settings
        taken = store.occupied()
        own = own_names(store.cellar.path / "schedules")
        found = {
            "container": tuple(one.name for one in settings.containers if one.name not in taken),
            "schedule": tuple(dict.fromkeys((*library_names(), *own))),
            "yeast": tuple(one.name for one in settings.yeasts),
            "fruit": tuple(fruit_names()),
            "treatment": tuple(one.key for one in treatments()),
            "like": (*store.names(), *past_names(store.cellar)),
        }
        # A suggestion is painted by the input itself, and picked as it stands: what is not plain cannot be offered.
        return {field: tuple(one for one in names if plain(one, 80) == one) for field, names in found.items()}

    def on_mount(self) -> None:
        session = self.fermtui.session
        self._stock = in_stock(session.store.cellar, session.view)[0]
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        del event
        self._show()

    def _tell(self, text: str, role: str) -> None:
        self.answers = text
        self.fermtui.say(text, role)

    def _forget(self) -> None:
        """A field changed, or the form is left: what was said of it holds no longer."""
        self.asked = False
        if self.answers:
            self.fermtui.unsay(self.answers)
            self.answers = ""

    def on_input_changed(self) -> None:
        self._forget()
        self._show()
        self._offer()

    def on_descendant_focus(self) -> None:
        self._offer()

    def _cautions(self) -> list[str]:
        units = self.fermtui.session.view.settings.units
        return caution_lines(self.plan.cautions, units) if self.plan is not None else []

    def _offer(self) -> None:
        """What the field under the cursor can take, as far as it goes on from what is typed; else the cautions."""
        focused = self.focused
        name = focused.id.removeprefix("want-") if focused is not None and focused.id else ""
        listed = tuple(plain(one, 30) for one in self._listed.get(name, ()))
        if self.asked or not listed:
            texts = self._cautions()
            self.query_one("#choices", PaintedText).show(lambda width, height: _whole(texts, width, height))
            return
        typed = self._text(name)
        self.query_one("#choices", PaintedText).show(
            lambda width, height: wrapped(narrowed(listed, typed, height * (width - ENDS)), "accent", width, height)
        )

    def _text(self, name: str) -> str:
        return self.query_one(f"#want-{name}", Input).value.strip()

    def _typed(self) -> dict[str, str]:
        return {field.name: self._text(field.name) for field in FIELDS}

    def _wanted(self) -> Wanted:
        """What stands in the fields. Raises Unreadable, PlanUnfit."""
        known = self.fermtui.session.view.settings.units
        text = self._typed()
        if text["like"]:
            return self._like(text, known)
        if not text["name"]:
            raise PlanUnfit("a vessel needs a name, as in Damson")
        if not text["volume_l"]:
            raise PlanUnfit("say how much it is to be, as in 4.2 L")
        capacity_l = units.volume_l(text["container"], known) if SIZE.match(text["container"]) else None
        wanted = Wanted(
            name=text["name"],
            volume_l=units.volume_l(text["volume_l"], known),
            end=units.gravity_sg(text["end"], known) if text["end"] else None,
            container=None if capacity_l else text["container"] or None,
            capacity_l=capacity_l,
            schedule=text["schedule"] or None,
            yeast=text["yeast"] or None,
            fruit=text["fruit"] or None,
            fruit_g=units.mass_g(text["fruit_g"], known) if text["fruit_g"] else None,
            treatment=text["treatment"] or None,
            co2_volumes=units.number(text["co2_volumes"]) if text["co2_volumes"] else None,
            style=text["style"] or None,
            second=read_second(text["second"], known) if text["second"] else None,
        )
        return _strength(_sweetness(wanted, text["sweet_to"], known), text["strength"], known)

    def _like(self, text: dict[str, str], known: Units) -> Wanted:
        """What another vessel was meant to be, with what is typed in its place. Raises Unreadable, PlanUnfit."""
        base = like(self.fermtui.session.store, text["like"])
        size = units.volume_l(text["container"], known) if SIZE.match(text["container"]) else None
        given = {
            "name": text["name"] or None,
            "volume_l": units.volume_l(text["volume_l"], known) if text["volume_l"] else None,
            "end": units.gravity_sg(text["end"], known) if text["end"] else None,
            "capacity_l": size,
            "fruit_g": units.mass_g(text["fruit_g"], known) if text["fruit_g"] else None,
            "co2_volumes": units.number(text["co2_volumes"]) if text["co2_volumes"] else None,
            "second": read_second(text["second"], known) if text["second"] else None,
            **{name: text[name] or None for name in ("schedule", "yeast", "fruit", "treatment", "style")},
        }
        base = replace(base, **{name: value for name, value in given.items() if value is not None})  # type: ignore[arg-type]  # by name
        if text["container"]:
            base = replace(base, container=None if size else text["container"])
        return _strength(_sweetness(base, text["sweet_to"], known), text["strength"], known)

    def _show(self) -> None:
        """The plan as it follows from the fields, or the sentence that says what is missing."""
        shown = self.query_one("#plan", PaintedText)
        try:
            plan = preview(self.fermtui.session.store, self._wanted(), self.fermtui.session.clock())
        except (Unreadable, PlanUnfit, Unfit) as why:
            self.plan, sentence = None, in_units(str(why), self.fermtui.session.view.settings.units)
            self._hint()
            shown.show(lambda width, _: wrapped(sentence, "quiet", width, 6))
            return
        self.plan = plan
        self._hint()
        shown.show(lambda width, height: self._plan_lines(plan, width, height))

    def _hint(self) -> None:
        """In each empty field what the plan takes for it as it stands now, or else an example."""
        first = {name: plain(self._listed[name][0], 40) for name in ("container", "treatment") if self._listed[name]}
        shown = hints(self._typed(), self.plan, self.fermtui.session.view.settings.units, first)
        for name, hint in shown.items():
            field = self.query_one(f"#want-{name}", Input)
            field.placeholder = hint
            field.set_class(hint.startswith(TAKEN), "-taken")

    def _plan_lines(self, plan: Preview, width: int, height: int) -> list[Line]:
        view, how = self.fermtui.session.view, self.fermtui.key("how")
        odd = (*all_notes(plan), *missing_lines(plan, self._stock, view.settings))
        return plan_lines(plan, view.settings, view.now, odd, self._before(), how, width, height)

    def _before(self) -> CameOut | None:
        """What came of the vessel that is copied; None where none is."""
        copied = self._text("like")
        return came_out(self.fermtui.session.store, copied, self.fermtui.session.view.now) if copied else None

    def on_input_submitted(self) -> None:
        self.action_write()

    def action_write(self) -> None:
        if self.plan is None:
            self._tell("the plan is not whole yet: see the sentence to the right", "warn")
            return
        if not self.asked:
            self.asked = True
            self._offer()
            self._tell(
                f"{self.fermtui.key('write')} once more starts {plain(self.plan.head.name, 40)} as it stands here",
                "strong",
            )
            return
        try:
            written = write_plan(self.fermtui.session.store, self.plan)
        except (NotWritten, Unfit) as why:
            self._tell(plain(why, 300), "warn")
            return
        self._forget()
        self.dismiss(written)

    def action_how(self) -> None:
        if self.plan is None:
            self._tell("the plan is not whole yet: see the sentence to the right", "warn")
            return
        plan, view = self.plan, self.fermtui.session.view
        steps, before = explain_plan(plan, view.settings), self._before()

        def lines(width: int) -> list[Line]:
            sums = sum_lines(plan, view.settings, view.now, before, width)
            days = day_lines(plan, view.settings, view.now, width)
            return [*sums, [], *days, [], *steps_lines(steps, view.settings.units, width)]

        self.app.push_screen(TextPage(plain(plan.head.name, 40), "the plan, and how it is reckoned", lines))

    def action_look_up(self) -> None:
        self.app.push_screen(Schedules(self.fermtui.session))

    def on_screen_resume(self) -> None:
        self._listed = self._choices()  # a schedule may have been copied meanwhile

    def action_leave(self) -> None:
        self._forget()
        self.dismiss(None)


def _strength(wanted: Wanted, text: str, known: Units) -> Wanted:
    if not text:
        return wanted
    gravity, abv_percent = read_strength(text, known)
    return replace(wanted, gravity=gravity, abv_percent=abv_percent)


def _sweetness(wanted: Wanted, text: str, known: Units) -> Wanted:
    if not text:
        return wanted
    sweet_to, keep = read_sweetness(text, known)
    return replace(wanted, sweet_to=sweet_to, keep=keep)


def _whole(texts: list[str], width: int, height: int) -> list[Line]:
    """Each text whole, or not at all."""
    lines: list[Line] = []
    for text in texts:
        more = wrapped(text, "quiet", width, 9)
        lines += more if len(lines) + len(more) <= height else []
    return lines

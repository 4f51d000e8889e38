"""`fermtui needs`: what the coming tasks will use up, less the stock."""

from __future__ import annotations

from datetime import timedelta

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import days_of, print_json, tell_problems, whole_view
from fermtui.reports.needs import needs
from fermtui.reports.needs_text import needs_json, needs_lines

USUAL = timedelta(days=30)


def run(call: Call) -> int:
    """Print the list; problems on stderr, exit 0 all the same."""
    if call.operands or call.pairs:
        raise WrongUsage("needs takes no operands: `fermtui needs --days 14`")
    within = days_of(call, USUAL)
    store, view = whole_view(call)
    wanted = needs(store.cellar, view, within)
    if "json" in call.options:
        print_json(needs_json(wanted, view, view.now + within))
    else:
        print("\n".join(text for _, text in needs_lines(wanted, view, within.days)))
    tell_problems(view.all_problems)
    store.save()
    return 0

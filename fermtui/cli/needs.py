"""`fermtui needs`: what the coming tasks will use up, less the stock."""

from __future__ import annotations

from datetime import timedelta

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.session import print_json, tell_problems, watched_of
from fermtui.reports.needs import needs
from fermtui.reports.needs_text import needs_json, needs_lines

DAYS, DAYS_MOST = 30, 3660


def run(call: Call) -> int:
    """Print the list; problems on stderr, exit 0 all the same."""
    if call.operands or call.pairs:
        raise WrongUsage("needs takes no operands: `fermtui needs --days 14`")
    given = call.options.get("days", str(DAYS))
    if not (given.isascii() and given.isdigit()) or int(given) > DAYS_MOST:
        raise WrongUsage(f"--days takes a whole number of days from 0 to {DAYS_MOST}, as in --days 14")
    store, now = watched_of(call)
    store.load()
    store.prepare_forecasts()
    view = store.at(now)
    within = timedelta(days=int(given))
    found = needs(store.cellar, view, within)
    if "json" in call.options:
        print_json(needs_json(found, view, now + within))
    else:
        print("\n".join(needs_lines(found, view, within.days)))
    tell_problems(view.all_problems)
    store.save()
    return 0

"""`fermtui`, and `python -m fermtui`."""

from __future__ import annotations

import atexit
import gc
import sys

YOUNG = 100_000
"""objects before the first look for rings: loading alone makes thousands that all stay. The screens put
the usual number back once the engine is there; a plain command ends."""


def main() -> int:
    """Run the words of the command line; the exit status."""
    gc.set_threshold(YOUNG)
    atexit.register(gc.freeze)  # what is left at the end goes with the process, unsearched
    from fermtui.cli.main import run  # after the threshold above is set

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())

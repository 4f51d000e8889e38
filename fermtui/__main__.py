"""`fermtui`, and `python -m fermtui`."""

from __future__ import annotations

import sys


def main() -> int:
    """Run the words of the command line; the exit status."""
    from fermtui.cli.main import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())

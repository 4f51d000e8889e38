"""fermtui: a terminal dashboard for mead fermentations in progress."""

__version__ = "0.1.0"

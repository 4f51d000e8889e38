"""fermtui: a terminal dashboard for mead fermentations in progress."""

import gc

__version__ = "0.4.0"
USUAL_GC = gc.get_threshold()
"""as it stood before a start raised it"""

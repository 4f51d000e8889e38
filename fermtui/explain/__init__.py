"""Where a computed number comes from: its formula, its inputs and its source. `vessel.py` explains a vessel's own."""

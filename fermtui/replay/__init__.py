"""Replay: entries become what is in the vessel, day by day, and the facts that everything above asks."""

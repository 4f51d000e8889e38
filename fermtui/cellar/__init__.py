"""The loaded vessels at one clock: store, agenda, history and the cache."""

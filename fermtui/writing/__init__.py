"""The only door for writing: entries, transfers, undo, late entries, the archive, and starting a vessel."""

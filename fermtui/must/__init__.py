"""Chemistry of what is in the vessel: pure functions, no dates, no files but the package's own tables."""

"""The screens. Everything is read through `view` and written through `acts`; no arithmetic, no files here."""

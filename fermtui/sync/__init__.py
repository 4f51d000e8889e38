"""Exchange of entries with the maker's other computers, through their own git."""

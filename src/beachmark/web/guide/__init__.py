"""Help."""

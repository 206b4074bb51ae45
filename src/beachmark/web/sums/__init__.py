"""The sums of a case."""

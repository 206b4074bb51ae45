"""The replay of the events of a case."""

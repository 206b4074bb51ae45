"""The driveline of a case: what was seen, what to ask, what is installed."""

"""beachmark: what broke first in a driveline, why, and where the load came from."""

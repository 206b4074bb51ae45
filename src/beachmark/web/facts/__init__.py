"""The vehicle, the account and what is missing."""

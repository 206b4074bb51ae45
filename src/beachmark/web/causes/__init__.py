"""The causes weighed."""

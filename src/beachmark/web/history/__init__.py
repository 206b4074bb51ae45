"""Revisions and the case file."""

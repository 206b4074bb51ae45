"""The report on the page and as PDF."""

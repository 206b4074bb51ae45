"""The list of cases; new cases; case files taken in."""

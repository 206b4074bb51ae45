"""Paper, pictures and exports made from a case."""

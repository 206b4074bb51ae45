"""Sound calls of the newer modules of mechanics, one file per module."""

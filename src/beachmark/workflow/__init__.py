"""Use cases, named by verbs: the only place where computation meets files and the store."""

"""The command line: the same verbs as the pages, for people and for scripts.

| module | what it holds |
|---|---|
| `main` | the commands |
| `printing` | what they print for people |
| `serving` | a free port, the server, the first run |
"""

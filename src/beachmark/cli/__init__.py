"""The command line: the same verbs as the pages, for people and for scripts.

| module | what it holds |
|---|---|
| `main` | the commands |
| `printing`, `replay_printing` | what they print for people |
| `watching` | how far a replay is, on the terminal; Ctrl-C asks it to stop |
| `serving` | a free port, the server, the first run |
"""

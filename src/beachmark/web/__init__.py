"""The pages of `beachmark serve`: drawn on the server, usable without a script.

| module | what it holds |
|---|---|
| `app` | the application put together |
| `guard` | what stands before every request: host, origin, size, and the headers of every answer |
| `house` | the open store and the cases worked out, kept for a while |
| `rendering` | contexts into pages, objects into JSON |
| `problems` | errors as pages, in plain words |
| `spine` | the driveline as a row of places, on every page of a case |
| `desk`, `case`, `facts`, `sums`, `causes`, `report`, `history`, `guide` | one package a page |
"""

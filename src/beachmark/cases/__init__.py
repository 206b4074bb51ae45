"""One case as a value, and its file.

| module | what it holds |
|---|---|
| `case` | the case: what is installed, what happened, what was seen, photos, work, sister vehicles |
| `plain` | dataclasses to plain data and back, driven by their fields; every fault with its line |
| `schema` | the published JSON Schema of the case file and of the parts catalogue |
| `codec` | case file text to `Case` and back; a parts catalogue file to `Catalogue` |
"""

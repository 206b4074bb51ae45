"""What was seen, by whom, how, and how surely.

| module | what it holds |
|---|---|
| `records` | one observation: answers at a place, with who looked, how, when and how sure |
| `signs` | what follows from several observations by pure rules (which caps are dry, which face is old) |
"""

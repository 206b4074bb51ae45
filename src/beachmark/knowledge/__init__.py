"""What experts know, as data with sources: questions, causes, root causes, limits, typical values.

| module | what it holds |
|---|---|
| `model` | the frozen values that the data files become |
| `schemas` | the JSON Schema of each kind of data file |
| `loader` | texts in, `Knowledge` out; every fault of every file with file, line, field, allowed |
| `references` | faults that only show across files: unknown ids, answers, groups, places |
| `linter` | weaknesses that are not faults: no source, nothing tells two causes apart, unused terms |
"""

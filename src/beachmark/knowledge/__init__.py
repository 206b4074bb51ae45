"""What experts know, as data with sources: questions, causes, root causes, limits, typical values, events, vehicles.

| module | what it holds |
|---|---|
| `model` | the frozen values that the data files become |
| `events` | the frozen values of events that load a driveline, and of what is usual in a class of vehicles |
| `schemas` | the JSON Schema of each kind of data file |
| `loader` | texts in, `Knowledge` out; every fault of every file with file, line, field, allowed |
| `event_reading` | entries of events.yaml and trains.yaml into these values |
| `quantities` | a number with its range, refused with file, line and field |
| `references` | faults that only show across files: unknown ids, answers, groups, places |
| `event_references` | the same of events and classes: shares, times, what class any lacks |
| `linter` | weaknesses that are not faults: no source, nothing tells two causes or events apart, unused terms |
"""

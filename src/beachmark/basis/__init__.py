"""The ground that everything stands on, in the order in which data passes through it.

| module | what it holds |
|---|---|
| `errors` | one family of errors; a `Fault` says where, what is wrong, what is allowed |
| `documents` | strict reading of YAML and JSON text into plain data, with the line of every field |
| `schemas` | a document held against a JSON Schema: every fault at once, in plain words |
| `units` | quantities as people type them, into SI and back; the only place where mm or degrees exist |
| `values` | a number with its range, how it is known and where it comes from |
| `results` | what a sum returns: value, range, method, source, validity |

Inside, everything is SI: metres, newtons, pascals, radians, seconds, kilograms.
"""

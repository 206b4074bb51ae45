"""Paper, pictures and exports made from a case.

| module | what it holds |
|---|---|
| `content` | a worked case as a report: everything in words, the same for page and paper |
| `document` | the frozen values that the report is made of |
| `recorded` | what was told, seen and not looked at |
| `computed` | sums with inputs, ranges and limits; what could not be computed |
| `concluded` | finding, causes considered, what would change it, limits |
| `replayed` | what the replay of the events tells, while it speaks of the case as it is |
| `advised` | cautions and steps, apart from the finding |
| `annex` | shares and ratios, printed nowhere else |
| `words` | numbers in the reader's units, places, references |
| `figures` | the charts as Vega-Lite specifications, and their SVG |
| `charts` | one chart a module: load against capacity, speed ratio, excitation, ride height, speed diagram, replay |
| `bands`, `weights`, `look` | other kinds of chart, and what all share |
| `marked` | the marks that the drawing of a case carries |
| `paper` | the report as a PDF, with `pieces.typ` and `template.typ` |
| `drawing`, `fonts` | the driveline as a drawing; the letters |
"""

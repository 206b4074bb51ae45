"""Use cases, named by verbs: the only place where computation meets files and the store.

| module | what it does |
|---|---|
| `packaged` | the knowledge and the demo that come with the package |
| `home` | the folder that holds the user's data |
| `loading` | a case by its number or from a file |
| `keeping` | cases made, imported, changed and exported; whole or nothing |
| `fields`, `entering` | the fields of a case as forms show them, and what was typed into them |
| `places`, `drawing`, `pages` | the parts of a case with their questions; drawings; what several pages share |
| `checking` | the knowledge files checked |
| `working` | sums, weighing |
| `replaying` | the events of a case replayed: as a job beside the pages, or at once |
| `replay_page` | what the replay page needs: what is not known, pictures, what to ask next |
| `kept_replay` | the replay kept with a case, read once and remembered |
| `reporting` | the report as data and as PDF |
| `objects`, `replay_object` | the documented JSON objects |
| `demo` | the demo cases |
"""

"""The driveline as a drawing: side and plan view, the cross, and the same in words. Pure: text in, text out.

| module | what it holds |
|---|---|
| `svg` | escaped SVG pieces and text widths |
| `lanes` | labels that keep apart |
| `frame` | scale, heights, stretches |
| `angles` | working angles and slopes in words |
| `pieces` | the parts in line work |
| `marks` | what was recorded or concluded at a place |
| `views` | side view and plan view |
| `strips` | rows of labels |
| `footer` | scale bar, notes, key |
| `sheet` | the whole drawing |
| `cross` | one cross seen from the rear |
| `telling` | the drawing in words |
"""

from beachmark.report.drawing.cross import cross_svg
from beachmark.report.drawing.marks import Mark
from beachmark.report.drawing.sheet import driveline_svg
from beachmark.report.drawing.telling import driveline_table

__all__ = ["Mark", "cross_svg", "driveline_svg", "driveline_table"]

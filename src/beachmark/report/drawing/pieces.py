"""The parts themselves in line work. Each is drawn along its own axis: the joint at 0, rearward to the right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beachmark.report.drawing.svg import (
    ACCENT,
    ASSUMED,
    CENTRE_LINE,
    INK,
    PAPER,
    SOFT,
    TINT,
    box,
    disc,
    group,
    line,
    number,
    path,
    tag,
    trace,
)

_SHEEN = "#b8c0c9"


@dataclass(frozen=True)
class Pen:
    """How a part's outline is drawn: dashed when assumed or missing, heavier and amber when chosen."""

    certain: bool = True
    chosen: bool = False
    weight: float = 1.0  # finer on small drawings

    @property
    def stroke(self) -> str:
        """Colour of the outline."""
        return ACCENT if self.chosen else INK

    @property
    def width(self) -> float:
        """Weight of the outline."""
        return (2.6 if self.chosen else 1.6) * self.weight

    @property
    def dash(self) -> str:
        """Dashes of the outline."""
        return "" if self.certain else ASSUMED

    def outline(self, d: str, fill: str = PAPER) -> str:
        """A closed outline."""
        return path(d, stroke=self.stroke, width=self.width, dash=self.dash, fill=fill)


def turned(body: str, x: float, y: float, degrees: float, *, mirrored: bool = False) -> str:
    """A part moved to its joint and turned to its slant; mirrored when it reaches forward from the joint."""
    place = f"translate({number(x)} {number(y)}) rotate({number(degrees)})"
    return group(body, transform=place + (" scale(-1 1)" if mirrored else ""))


def axis(start: float, end: float) -> str:
    """A centre line."""
    return line(start, 0, end, 0, stroke=SOFT, width=0.8, dash=CENTRE_LINE)


def fork(half: float, reach: float, radius: float, pen: Pen) -> str:
    """A yoke seen with its two ears above and below the joint, reaching right to its weld."""
    h = half
    d = trace(
        ("M", reach, -radius),
        ("C", reach - 0.5 * h, -radius, 1.3 * h, -h, 0.75 * h, -h),
        ("H", -0.3 * h),
        ("Q", -0.46 * h, -h, -0.46 * h, -0.82 * h),
        ("V", -0.6 * h),
        ("H", 0.42 * h),
        ("C", 0.95 * h, -0.55 * h, 0.95 * h, 0.55 * h, 0.42 * h, 0.6 * h),
        ("H", -0.46 * h),
        ("V", 0.82 * h),
        ("Q", -0.46 * h, h, -0.3 * h, h),
        ("H", 0.75 * h),
        ("C", 1.3 * h, h, reach - 0.5 * h, radius, reach, radius),
        ("Z",),
    )
    caps = "".join(
        box(-0.32 * h, y, 0.64 * h, 0.26 * h, stroke=pen.stroke, line_width=pen.width * 0.75, corner=1)
        for y in (-1.16 * h, 0.9 * h)
    )
    pins = "".join(
        line(x, -0.6 * h, x, 0.6 * h, stroke=pen.stroke, width=pen.width * 0.75) for x in (-0.2 * h, 0.2 * h)
    )
    return caps + pen.outline(d) + pins


def ear(half: float, reach: float, radius: float, pen: Pen) -> str:
    """A yoke seen on the face of one ear, with the bearing cap at the joint, reaching right to its weld."""
    h, r = half, 0.66 * half
    d = trace(
        ("M", reach, -radius),
        ("C", reach - 0.6 * h, -radius, 1.0 * h, -r, 0.12 * h, -r),
        ("A", r, r, 0, 1, 0, 0.12 * h, r),
        ("C", 1.0 * h, r, reach - 0.6 * h, radius, reach, radius),
        ("Z",),
    )
    cap = disc(0, 0, 0.43 * h, stroke=pen.stroke, width=pen.width * 0.8)
    return pen.outline(d) + cap + disc(0, 0, 0.12 * h, stroke=pen.stroke, width=pen.width * 0.6, fill=SOFT)


def tube(start: float, end: float, radius: float, pen: Pen) -> str:
    """The tube between the welds of its yokes, with the welds as short double lines."""
    outline = box(start, -radius, end - start, 2 * radius, stroke=pen.stroke, line_width=pen.width, dash=pen.dash)
    if end - start < 14:
        return outline
    shine = line(start + 5, -0.55 * radius, end - 5, -0.55 * radius, stroke=_SHEEN, width=0.7)
    welds = "".join(
        line(x, -radius, x, radius, stroke=pen.stroke, width=0.9 * pen.weight) for x in (start + 3.0, end - 3.0)
    )
    return outline + shine + welds


def slip(start: float, length: float, radius: float, engaged: float | None, pen: Pen, *, ghost: bool) -> str:
    """The slip member: sleeve at the front, splined stub behind it. `engaged` is the hidden spline's length.

    The stub's end inside the sleeve is drawn dashed, as hidden edges are. A ghost stands for a slip that
    nobody has recorded.
    """
    sleeve, stub = 0.58 * length, 0.72 * radius
    if ghost:
        return box(start, -1.18 * radius, sleeve, 2.36 * radius, stroke=SOFT, line_width=0.9, dash="3 3", fill="none")
    teeth = "".join(
        line(start + sleeve, y * stub, start + length - 0.3 * radius, y * stub, stroke=pen.stroke, width=0.8)
        for y in (-0.6, -0.2, 0.2, 0.6)
    )
    back = start + length
    cone = trace(
        ("M", back - 0.3 * radius, -stub), ("L", back, -radius), ("V", radius), ("L", back - 0.3 * radius, stub)
    )
    shoulder = path(cone + " Z", stroke=pen.stroke, width=pen.width, fill=PAPER)
    spline = box(start + sleeve, -stub, length - sleeve, 2 * stub, stroke=pen.stroke, line_width=pen.width)
    outer = box(
        start,
        -1.2 * radius,
        sleeve,
        2.4 * radius,
        stroke=pen.stroke,
        line_width=pen.width,
        dash=pen.dash,
        corner=1.5,
    )
    lip = 0.42 * radius
    seal = box(
        start + sleeve - 0.6 * lip,
        -1.36 * radius,
        lip,
        2.72 * radius,
        stroke=pen.stroke,
        line_width=pen.width * 0.8,
        fill=TINT,
    )
    return spline + teeth + shoulder + outer + _hidden_stub(start, sleeve, stub, engaged) + seal


def _hidden_stub(start: float, sleeve: float, stub: float, engaged: float | None) -> str:
    if engaged is None:
        return ""
    inside = min(max(engaged, 4.0), sleeve - 4.0)
    at, end, dash = start + sleeve - inside, start + sleeve - 3.5, "3 2"
    edges = "".join(line(at, y, end, y, stroke=SOFT, width=0.8, dash=dash) for y in (-stub, stub))
    return edges + line(at, -stub, at, stub, stroke=SOFT, width=0.8, dash=dash)


def hatch(x: float, y: float, width: float, height: float, *, step: float = 4.0) -> Iterator[str]:
    """Slanting lines inside a rectangle (rubber in section)."""
    offset = step / 2
    while offset < width + height:
        start = (x + min(offset, width), y + max(0.0, offset - width))
        end = (x + max(0.0, offset - height), y + min(offset, height))
        yield line(*start, *end, stroke=SOFT, width=0.7)
        offset += step


def centre_bearing(radius: float, size: float, pen: Pen, *, above: bool, recorded: bool) -> str:
    """A centre bearing around the point (0, 0): rubber hatched, ring, and its bracket.

    Seen from the side it hangs from a cross member (`above`), in plan it reaches to both sides.
    """
    width, inner, outer = size * 0.8, radius * 1.12, max(radius * 1.12 + 4.0, size * 1.12)
    rubber = []
    for top in (-outer, inner):
        rubber.append(
            box(-width / 2, top, width, outer - inner, stroke=pen.stroke, line_width=pen.width, dash=pen.dash)
        )
        rubber.extend(hatch(-width / 2, top, width, outer - inner) if recorded else ())
    ring = box(-width * 0.3, -inner, width * 0.6, 2 * inner, stroke=pen.stroke, line_width=pen.width * 0.8)
    bracket = _hanger(outer, size, pen) if above else _cross_member(outer, size, pen)
    return bracket + "".join(rubber) + ring


def _hanger(outer: float, size: float, pen: Pen) -> str:
    top = -outer - 0.55 * size
    plate = trace(
        ("M", -0.5 * size, -outer), ("L", -0.8 * size, top), ("H", 0.8 * size), ("L", 0.5 * size, -outer), ("Z",)
    )
    channel = trace(("M", 0.95 * size, top - 0.9 * size), ("H", -0.95 * size), ("V", top), ("H", 0.95 * size))
    section = path(channel, stroke=pen.stroke, width=pen.width * 1.5, dash=pen.dash, join="miter")
    return pen.outline(plate, TINT) + section


def _cross_member(outer: float, size: float, pen: Pen) -> str:
    reach = outer + 1.5 * size
    parts = []
    for sign in (-1, 1):
        near, far = sign * outer, sign * reach
        for x in (-0.95 * size, 0.95 * size):
            parts.append(line(x, near, x, far, stroke=pen.stroke, width=pen.width * 0.8, dash=pen.dash))
        foot = box(-0.8 * size, min(near, near + sign * 0.6 * size), 1.6 * size, 0.6 * size,
                   stroke=pen.stroke, line_width=pen.width * 0.8, dash=pen.dash, fill=TINT)  # fmt: skip
        parts.append(foot + disc(0, near + sign * 0.3 * size, 1.6, width=0.8))
    return "".join(parts)


def flange(reach: float, radius: float, pen: Pen) -> str:
    """The flange pair behind a yoke, reaching right."""
    thick = _flange_width(radius) / 2
    return "".join(
        box(
            reach + i * thick,
            -1.35 * radius,
            thick,
            2.7 * radius,
            stroke=pen.stroke,
            line_width=pen.width * 0.9,
        )
        for i in (0, 1)
    )


def _flange_width(radius: float) -> float:
    return min(9.0, 0.6 * radius)


def gearbox(reach: float, radius: float, length: float, pen: Pen) -> str:
    """The rear of the gearbox, drawn reaching right (the caller mirrors it); broken off at its far end."""
    a, r = reach + _flange_width(radius), radius
    end = max(length, a + 12)
    body = trace(
        ("M", a, -0.95 * r),
        ("H", a + 0.16 * (end - a)),
        ("L", a + 0.34 * (end - a), -2.0 * r),
        ("H", end),
        ("l", -0.22 * r, 1.1 * r),
        ("l", 0.36 * r, 0.9 * r),
        ("l", -0.28 * r, 0.9 * r),
        ("l", 0.14 * r, 1.1 * r),
        ("H", a + 0.34 * (end - a)),
        ("L", a + 0.16 * (end - a), 0.95 * r),
        ("H", a),
        ("Z",),
    )
    ribs = "".join(
        line(a + f * (end - a), -1.99 * r, a + f * (end - a), 1.99 * r, stroke=_SHEEN, width=0.9) for f in (0.5, 0.66)
    )
    return pen.outline(body, TINT) + ribs + flange(reach, radius, pen)


def axle(reach: float, radius: float, length: float, pen: Pen, *, above: bool) -> str:
    """The pinion nose and the axle, reaching right. From the side the round housing, in plan the beam."""
    a, r = reach + _flange_width(radius), radius
    end = max(length, a + 12)
    bowl = min(2.1 * r, (end - a) * 0.36)
    centre = end - bowl - 1
    p, q = a + 0.3 * (centre - a), a + 0.4 * (centre - a)
    nose = trace(
        ("M", a, -0.95 * r),
        ("C", p, -0.95 * r, q, -0.9 * bowl, centre, -0.98 * bowl),
        ("V", 0.98 * bowl),
        ("C", q, 0.9 * bowl, p, 0.95 * r, a, 0.95 * r),
        ("Z",),
    )
    housing = _beam(centre, bowl, pen) if above else _bowl(centre, bowl, pen)
    return pen.outline(nose, TINT) + housing + flange(reach, radius, pen)


def _bowl(centre: float, bowl: float, pen: Pen) -> str:
    cross = line(centre - bowl - 4, 0, centre + bowl + 4, 0, stroke=SOFT, width=0.7, dash=CENTRE_LINE)
    cross += line(centre, -bowl - 4, centre, bowl + 4, stroke=SOFT, width=0.7, dash=CENTRE_LINE)
    rim = disc(centre, 0, bowl, stroke=pen.stroke, width=pen.width, dash=pen.dash, fill=TINT)
    return rim + disc(centre, 0, bowl * 0.42, stroke=pen.stroke, width=pen.width * 0.7) + cross


def _beam(centre: float, bowl: float, pen: Pen) -> str:
    w, reach = 0.5 * bowl, 1.9 * bowl
    d = trace(
        ("M", centre - w, -reach),
        ("l", w, 0.2 * w),
        ("l", w, -0.2 * w),
        ("V", -1.2 * bowl),
        ("C", centre + 1.25 * bowl, -0.8 * bowl, centre + 1.25 * bowl, 0.8 * bowl, centre + w, 1.2 * bowl),
        ("V", reach),
        ("l", -w, -0.2 * w),
        ("l", -w, 0.2 * w),
        ("V", 1.2 * bowl),
        ("C", centre - 1.25 * bowl, 0.8 * bowl, centre - 1.25 * bowl, -0.8 * bowl, centre - w, -1.2 * bowl),
        ("Z",),
    )
    return pen.outline(d, TINT) + line(centre, -reach - 6, centre, reach + 6, stroke=SOFT, width=0.7, dash=CENTRE_LINE)


def touch_area(x: float, y: float, width: float, height: float, least: float = 44.0) -> str:
    """An unseen rectangle around a part, never smaller than a finger needs (WCAG 2.2, 2.5.5: 44 px)."""
    w, h = max(width, least), max(height, least)
    return tag(
        "rect", x=x - w / 2, y=y - h / 2, width=w, height=h, fill="none", stroke="none",
        pointer_events="all", class_="touch",
    )  # fmt: skip

"""One cross seen from the rear: the arms G1, G2 in the gearbox-side yoke, A1, A2 in the axle-side yoke."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from beachmark.driveline.positions import Address, in_words
from beachmark.report.drawing.marks import Flag, Mark, flags, shape
from beachmark.report.drawing.pieces import Pen, touch_area
from beachmark.report.drawing.svg import (
    CENTRE_LINE,
    FAINT,
    FONT,
    INK,
    PAPER,
    SOFT,
    TINT,
    arrow_head,
    box,
    disc,
    group,
    line,
    number,
    path,
    shortened,
    tag,
    text_width,
    title,
    trace,
    words,
)
from beachmark.report.drawing.views import Link

SIZE, MIDDLE_X, MIDDLE_Y = 420.0, 210.0, 196.0
_ARMS = {"G1": -90.0, "A1": 0.0, "G2": 90.0, "A2": 180.0}  # degrees clockwise from the right
_ROOT, _SHOULDER, _END, _CAP = 27.0, 44.0, 92.0, 122.0  # distances from the middle along an arm
_NO_MARKS: Mapping[Address, Sequence[Mark]] = {}


def cross_svg(*, marks: Mapping[Address, Sequence[Mark]] = _NO_MARKS, link: Link | None = None, joint: int = 1) -> str:
    """The cross of joint `joint` as a self-contained SVG text; not to scale.

    Arms (`trunnion-G1` ...), caps (`cap-G1` ...) and the two yokes can be followed when `link` is given.
    Marks of other joints are left out.
    """
    own = tuple(flag for flag in flags(marks) if flag.address.holder == Address("joint", joint))
    parts = [_ears("G", joint, own, link), _body(), _ears("A", joint, own, link)]
    for arm, turn in _ARMS.items():
        parts += [_trunnion(arm, turn, joint, own, link), _cap(arm, turn, joint, own, link)]
    notes, height = _notes(own)
    label = f"Cross of joint {joint} seen from the rear"
    body = title(label) + tag("rect", width=SIZE, height=height, fill=PAPER) + _axes()
    body += "".join(parts) + _rotation() + _signs(own) + _names() + notes
    return tag(
        "svg", body, xmlns="http://www.w3.org/2000/svg", class_="cross", viewBox=f"0 0 {number(SIZE)} {number(height)}",
        width=SIZE, height=height, role="group" if link else "img", aria_label=label, font_family=FONT,
    )  # fmt: skip


def _at(turn: float, distance: float, aside: float = 0.0) -> tuple[float, float]:
    """The point at a distance along an arm, and aside from it clockwise."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return MIDDLE_X + distance * c - aside * s, MIDDLE_Y + distance * s + aside * c


def _turned(drawn: str, turn: float) -> str:
    place = f"translate({number(MIDDLE_X)} {number(MIDDLE_Y)}) rotate({number(turn)})"
    return group(drawn, transform=place)


def _followed(address: Address, drawn: str, own: Sequence[Flag], link: Link | None) -> str:
    told = ". ".join([in_words(address), *(f.in_full for f in own if f.address == address)])
    body = group(title(told) + drawn, id=f"cross-{address.part}", class_="piece", data_part=str(address))
    return tag("a", body, href=link(address), class_="part", aria_label=told) if link else body


def _pen(address: Address, own: Sequence[Flag]) -> Pen:
    return Pen(chosen=any(flag.kind == "chosen" and flag.address == address for flag in own))


def _body() -> str:
    hub = box(MIDDLE_X - _ROOT, MIDDLE_Y - _ROOT, 2 * _ROOT, 2 * _ROOT, stroke="none", line_width=0)
    return hub + disc(MIDDLE_X, MIDDLE_Y, 9, width=1.0, stroke=SOFT)


def _trunnion(arm: str, turn: float, joint: int, own: Sequence[Flag], link: Link | None) -> str:
    address = Address("joint", joint, f"trunnion-{arm}")
    outline = trace(
        ("M", _ROOT, -27),
        ("C", _ROOT + 10, -25, _SHOULDER - 6, -24, _SHOULDER, -24),
        ("V", -19),
        ("H", _END),
        ("V", 19),
        ("H", _SHOULDER),
        ("V", 24),
        ("C", _SHOULDER - 6, 24, _ROOT + 10, 25, _ROOT, 27),
    )
    pen = _pen(address, own)
    shoulder = line(_SHOULDER, -19, _SHOULDER, 19, stroke=pen.stroke, width=0.9)
    touch = touch_area((_ROOT + _END) / 2 - 4, 0, _END - _ROOT - 8, 48)
    return _followed(address, _turned(pen.outline(outline) + shoulder + (touch if link else ""), turn), own, link)


def _cap(arm: str, turn: float, joint: int, own: Sequence[Flag], link: Link | None) -> str:
    address = Address("joint", joint, f"cap-{arm}")
    pen = _pen(address, own)
    length = _CAP - _END + 16
    cup = box(_CAP - length, -29, length, 58, stroke=pen.stroke, line_width=pen.width, corner=4)
    seal = box(_CAP - length - 6, -25, 6, 50, stroke=pen.stroke, line_width=pen.width * 0.7, fill=TINT)
    needles = "".join(
        line(_CAP - length + 4, y, _CAP - 9, y, stroke=SOFT, width=0.8) for y in (-22, -16, -10, 10, 16, 22)
    )
    touch = touch_area(_CAP - length / 2, 0, length + 10, 58) if link else ""
    return _followed(address, _turned(seal + cup + needles + touch, turn), own, link)


def _ears(side: str, joint: int, own: Sequence[Flag], link: Link | None) -> str:
    """The two ears of one yoke; the gearbox-side yoke lies behind the cross and is tinted."""
    address = Address("joint", joint, "yoke-front" if side == "G" else "yoke-rear")
    pen, drawn = _pen(address, own), []
    d = "M66 -44 C92 -48 124 -48 136 -34 Q142 0 136 34 C124 48 92 48 66 44 L66 34 H124 V-34 H66 Z"
    for arm, turn in _ARMS.items():
        if arm.startswith(side):
            touch = touch_area(140, 0, 24, 92, least=24) if link else ""
            drawn.append(_turned(pen.outline(d, TINT if side == "G" else PAPER) + touch, turn))
    return _followed(address, "".join(drawn), own, link)


def _axes() -> str:
    return "".join(
        line(*_at(turn, -158), *_at(turn, 158), stroke=FAINT, width=0.8, dash=CENTRE_LINE) for turn in (0.0, 90.0)
    )


def _names() -> str:
    drawn = []
    for arm, turn in _ARMS.items():
        x, y = _at(turn, 168)
        drawn.append(words(x, y + 6, arm, size=18, weight="700", anchor="middle"))
    return "".join(drawn)


def _rotation() -> str:
    """The usual sense of rotation driving forward, seen from the rear (common practice, no source)."""
    radius = 150.0
    (x1, y1), (x2, y2) = ((MIDDLE_X + radius * math.cos(a), MIDDLE_Y - radius * math.sin(a)) for a in (0.62, 0.95))
    arc = path(trace(("M", x1, y1), ("A", radius, radius, 0, 0, 0, x2, y2)), stroke=SOFT, width=1.4)
    head = arrow_head(x2, y2, -math.sin(1.0), -math.cos(1.0), size=9, fill=SOFT)
    texts = words(x1 - 18, y1 - 58, "usual rotation,", size=12, fill=SOFT) + words(
        x1 - 18, y1 - 44, "driving forward", size=12, fill=SOFT
    )
    return arc + head + texts


def _signs(own: Sequence[Flag]) -> str:
    drawn, taken = [], dict[str, int]()
    for flag in own:
        turn, distance = _sign_place(flag.address)
        shift = taken.get(flag.address.part, 0)
        taken[flag.address.part] = shift + 1
        x, y = _at(turn, distance, aside=shift * 16.0)
        size = 10.0 if flag.kind in ("first", "start") else 7.5
        sign = shape(flag.kind, 0, 0, size)
        drawn.append(
            group(sign, class_="mark", data_kind=flag.kind, data_place=str(flag.address),
                  transform=f"translate({number(x)} {number(y)})", pointer_events="none")
        )  # fmt: skip
    return "".join(drawn)


def _sign_place(address: Address) -> tuple[float, float]:
    kind, _, which = address.part.partition("-")
    if kind in ("trunnion", "cap"):
        return _ARMS[which], 58.0 if kind == "trunnion" else _CAP - 20
    return {"yoke-front": (-90.0, 131.0), "yoke-rear": (0.0, 131.0)}.get(address.part, (45.0, 0.0))


def _notes(own: Sequence[Flag]) -> tuple[str, float]:
    """Which yoke holds which arms, and every mark in words."""
    y = 392.0
    drawn = [
        words(20, y, "G1, G2 held by the gearbox-side yoke", size=12.5, fill=SOFT),
        words(
            20,
            y + 17,
            "A1, A2 held by the axle-side yoke. Seen from the rear, not to scale.",
            size=12.5,
            fill=SOFT,
        ),
    ]
    y += 40
    for flag in own:
        place = in_words(flag.address).partition(", ")[2] or "whole joint"
        text = f"{place}{': ' + '; '.join(flag.labels) if flag.labels else ''}"
        head = text_width(flag.heading, 12.5, "700")
        drawn.append(shape(flag.kind, 28, y - 4.5) + words(42, y, flag.heading, size=12.5, weight="700", fill=INK))
        drawn.append(words(48 + head, y, shortened(text, int((SIZE - 60 - head) / 6.9)), size=12.5, fill=SOFT))
        y += 21
    return "".join(drawn), y - 8

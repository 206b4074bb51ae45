"""Side view and plan view: the parts in their places, each one a group that can be followed."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.phase import stated_phase
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.report.drawing import pieces
from beachmark.report.drawing.frame import Frame, View
from beachmark.report.drawing.marks import Marks, at_part, slip_span, support_along, tube_start
from beachmark.report.drawing.pieces import Pen, touch_area, turned
from beachmark.report.drawing.svg import group, tag, title
from beachmark.report.drawing.telling import Row, driveline_table, part_in_words

Link = Callable[[Address], str]


@dataclass(frozen=True)
class Scene:
    """What is drawn: the train, its geometry, the marks, and where each part leads."""

    train: Train
    frame: Frame
    marks: Marks
    link: Link | None
    rows: list[Row] = field(default_factory=list)

    @classmethod
    def of(cls, train: Train, frame: Frame, marks: Marks, link: Link | None) -> Scene:
        """A scene with the words of its parts."""
        return cls(train, frame, marks, link, driveline_table(train))


def draw_view(scene: Scene, view: View, y: float) -> str:
    """All parts of one view; `y` is the screen height of the first joint."""
    drawn = [_gearbox(scene, view), _axle(scene, view)]
    shafts = range(1, len(scene.train.shafts) + 1)
    drawn += [_tube(scene, view, k) for k in shafts]
    drawn += [_slip(scene, view, k) for k in shafts]
    drawn += [_support(scene, view, k) for k in shafts if k < len(scene.train.shafts)]
    drawn += [_joint(scene, view, k) for k in range(1, len(scene.train.joints) + 1)]
    return group(drawn, class_=f"view {view.name}", transform=f"translate(0 {y:.2f})")


def _part(scene: Scene, view: View, address: Address, drawn: str, touch: str) -> str:
    """A part with its accessible name; in plan the same links again, but out of the keyboard's way."""
    told = ". ".join([part_in_words(address, scene.rows), *(flag.in_full for flag in at_part(scene.marks, address))])
    prefix = "narrow-" if scene.frame.sheet.narrow else ""
    ident = f"{prefix}{view.name}-{str(address).replace('/', '-')}"
    body = group((title(told), drawn, touch if scene.link else ""), id=ident, class_="piece", data_part=str(address))
    if scene.link is None:
        return body
    second = view.name == "plan"
    return tag(
        "a", body, href=scene.link(address), class_="part", aria_label=told,
        tabindex="-1" if second else None, aria_hidden="true" if second else None,
    )  # fmt: skip


def _pen(scene: Scene, address: Address, certain: bool) -> Pen:
    chosen = any(flag.kind == "chosen" for flag in at_part(scene.marks, address))
    return Pen(certain, chosen, max(0.65, min(1.0, scene.frame.half / 16.0)))


def _certain(piece: End | Shaft, view: View) -> bool:
    value = piece.slope if view.name == "side" else piece.plan
    return value is not None and not value.is_assumed


def _end(scene: Scene, view: View, *, first: bool) -> tuple[float, float, float, float]:
    """Place, slant and free length of the gearbox or axle block."""
    frame, at = scene.frame, 0 if first else -1
    margin = frame.sheet.left if first else frame.sheet.right
    return frame.x[at], view.y[at], view.slants[at], margin - frame.sheet.pad * 0.6


def _gearbox(scene: Scene, view: View) -> str:
    address, frame = Address("gearbox"), scene.frame
    x, y, slant, length = _end(scene, view, first=True)
    pen = _pen(scene, address, _certain(scene.train.gearbox_end, view))
    drawn = pieces.gearbox(frame.reach, frame.body, length, pen)
    touch = touch_area(x - length / 2 - frame.half, y, length - 2 * frame.half, 4 * frame.radii[0])
    return _part(scene, view, address, turned(drawn, x, y, slant, mirrored=True), touch)


def _axle(scene: Scene, view: View) -> str:
    address, frame = Address("axle"), scene.frame
    x, y, slant, length = _end(scene, view, first=False)
    pen = _pen(scene, address, _certain(scene.train.axle_end, view))
    drawn = pieces.axle(frame.reach, frame.body, length, pen, above=view.name == "plan")
    touch = touch_area(x + length / 2 + frame.half, y, length - 2 * frame.half, 4 * frame.radii[-1])
    return _part(scene, view, address, turned(drawn, x, y, slant), touch)


def _tube(scene: Scene, view: View, k: int) -> str:
    frame, shaft = scene.frame, scene.train.shaft(k)
    length, radius, x, y = frame.length(k, view), frame.radii[k - 1], frame.x[k - 1], view.y[k - 1]
    sizes = (shaft.length, shaft.tube.outer_diameter)
    certain = all(value is not None and not value.is_assumed for value in sizes)
    pen = _pen(scene, Address("shaft", k), certain and _certain(shaft, view))
    drawn = pieces.tube(tube_start(k, frame), length - frame.reach, radius, pen) + pieces.axis(-6.0, length + 6.0)
    middle = frame.on_shaft(k, length / 2, view)
    rise = abs(math.sin(math.radians(view.slants[k]))) * length
    touch = touch_area(*middle, length - 2 * frame.reach, 2 * radius + rise)
    return _part(scene, view, Address("shaft", k), turned(drawn, x, y, view.slants[k]), touch)


def _slip(scene: Scene, view: View, k: int) -> str:
    frame, shaft, address = scene.frame, scene.train.shaft(k), Address("shaft", k, "slip")
    start, size = slip_span(k, frame)
    known = shaft.slip.engaged_length if shaft.slip else None
    engaged = known.si * frame.scale if known else None
    pen = _pen(scene, address, known is not None and not known.is_assumed)
    drawn = pieces.slip(start, size, frame.radii[k - 1], engaged, pen, ghost=not frame.slips[k - 1])
    x, y = frame.x[k - 1], view.y[k - 1]
    touch = touch_area(*frame.on_shaft(k, start + size / 2, view), size, 2.4 * frame.radii[k - 1])
    return _part(scene, view, address, turned(drawn, x, y, view.slants[k]), touch)


def _support(scene: Scene, view: View, k: int) -> str:
    frame, address = scene.frame, Address("support", k)
    x, y = frame.on_shaft(k, support_along(k, frame), view)
    recorded = scene.train.shaft(k).support
    pen = _pen(scene, address, recorded)
    size = max(4.0, frame.half * 0.95)
    drawn = pieces.centre_bearing(frame.radii[k - 1] * 0.8, size, pen, above=view.name == "side", recorded=recorded)
    placed = group(drawn, transform=f"translate({x:.2f} {y:.2f})")
    return _part(scene, view, address, placed, touch_area(x - 4, y - size, 2 * size, 3 * size))


def _joint(scene: Scene, view: View, k: int) -> str:
    frame, address = scene.frame, Address("joint", k)
    pen = _pen(scene, address, True)
    x, y = frame.x[k - 1], view.y[k - 1]
    before, after = ears_upright(scene.train)[k - 1]
    front, rear = (_radius(frame, k - 1), _radius(frame, k))
    upright = view.name == "side"
    yokes = [
        (
            before == upright,
            turned(_yoke(before == upright, frame, front, pen), x, y, view.slants[k - 1], mirrored=True),
        ),
        (after == upright, turned(_yoke(after == upright, frame, rear, pen), x, y, view.slants[k])),
    ]
    drawn = "".join(text for _, text in sorted(yokes, key=lambda pair: not pair[0]))
    return _part(scene, view, address, drawn, touch_area(x, y, 2 * frame.reach, 2.4 * frame.half))


def _yoke(is_fork: bool, frame: Frame, radius: float, pen: Pen) -> str:
    return (pieces.fork if is_fork else pieces.ear)(frame.half, frame.reach, radius, pen)


def _radius(frame: Frame, piece: int) -> float:
    """Half height at the weld: the tube's own, or that of the nearest shaft at gearbox and axle."""
    return frame.radii[min(max(piece - 1, 0), len(frame.radii) - 1)]


def ears_upright(train: Train) -> tuple[tuple[bool, bool], ...]:
    """For each joint: do the ears of its front yoke and of its rear yoke stand upright?

    The two yokes of a joint stand across each other; shaft 1 begins upright, and each shaft's rear yoke
    stands as its phase says (in line where nobody said).
    """
    angle, result = math.pi / 2, []
    for k in range(len(train.joints)):
        front = _is_upright(angle)
        result.append((front, not front))
        phase = stated_phase(train.shafts[k]) if k < len(train.shafts) else None
        angle += math.pi / 2 + (phase.si if phase else 0.0)
    return tuple(result)


def _is_upright(angle: float) -> bool:
    return abs(math.cos(angle)) >= math.cos(math.pi / 4)

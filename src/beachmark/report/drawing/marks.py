"""What was recorded or concluded at a place: a shape of its own for each kind, and always a word beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beachmark.driveline.positions import Address, in_words
from beachmark.driveline.train import Train
from beachmark.report.drawing.frame import Frame
from beachmark.report.drawing.lanes import in_lanes
from beachmark.report.drawing.svg import (
    ACCENT,
    INK,
    PAPER,
    SOFT,
    group,
    line,
    number,
    shortened,
    tag,
    text_width,
    trace,
    words,
)

KINDS = ("first", "start", "consequence", "seen", "chosen")
LANE = 21.0


@dataclass(frozen=True)
class Mark:
    """One thing to show at a place. `kind`: `seen`, `first`, `start`, `consequence` or `chosen`.

    `first` is what failed first; `start` is where a complaint starts on a driveline of which nothing broke.
    """

    kind: str
    label: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"{self.kind!r} is not a kind of mark. Kinds: {', '.join(KINDS)}")


Marks = Mapping[Address, Sequence[Mark]]


@dataclass(frozen=True)
class Flag:
    """All marks of one kind at one place, ready to draw."""

    address: Address
    kind: str
    count: int
    labels: tuple[str, ...]

    @property
    def heading(self) -> str:
        """The word that goes with the shape."""
        return {
            "first": "FIRST",
            "start": "STARTS HERE",
            "consequence": "consequence",
            "seen": f"{self.count} seen",
            "chosen": "CHOSEN",
        }[self.kind]

    @property
    def in_full(self) -> str:
        """Everything about it, for the accessible name."""
        heading = {"first": "first failure", "start": "where it starts"}.get(self.kind, self.heading.lower())
        return f"{heading}: {'; '.join(self.labels)}" if self.labels else heading


def flags(marks: Marks) -> tuple[Flag, ...]:
    """Marks gathered by place and kind, the weightiest kind first."""
    found = []
    for address in sorted(marks):
        for kind in KINDS:
            same = [mark for mark in marks[address] if mark.kind == kind]
            if same:
                labels = tuple(dict.fromkeys(mark.label for mark in same if mark.label.strip()))
                found.append(Flag(address, kind, len(same), labels))
    return tuple(found)


def at_part(marks: Marks, part: Address) -> tuple[Flag, ...]:
    """The flags that belong to a drawn part: its own, and those of its caps, arms, welds and yokes."""
    return tuple(flag for flag in flags(marks) if drawn_part(flag.address) == part)


def drawn_part(address: Address) -> Address:
    """The part of the drawing that stands for an address."""
    if address.unit in ("engine", "clutch", "gearbox"):
        return Address("gearbox")
    if address.unit in ("suspension", "wheels", "axle"):
        return Address("axle")
    return address if address.part == "slip" else address.holder


def placed(flag: Flag, train: Train) -> bool:
    """True when the drawing has a spot for it."""
    whole = flag.address.unit in ("case", "fleet", "train")
    return not whole and train.layout.holds(flag.address)


def spot(address: Address, frame: Frame) -> tuple[float, float]:
    """Where an address lies in the side view, y relative to the first joint."""
    view, k = frame.side, address.number
    if address.unit == "joint":
        return _on_joint(address, frame)
    if address.unit == "support":
        return frame.on_shaft(k, support_along(k, frame), view)
    if address.unit == "shaft":
        return frame.on_shaft(k, _along_shaft(address, frame), view)
    if drawn_part(address).unit == "gearbox":
        return frame.x[0] - frame.sheet.left * 0.58, view.y[0]
    return frame.x[-1] + frame.sheet.right * 0.58, view.y[-1]


def _on_joint(address: Address, frame: Frame) -> tuple[float, float]:
    k = address.number - 1
    shift = {"yoke-front": -1.0, "yoke-rear": 1.0}.get(address.part, 0.0) * frame.reach * 0.6
    return frame.x[k] + shift, frame.side.y[k]


def _along_shaft(address: Address, frame: Frame) -> float:
    length = frame.length(address.number, frame.side)
    if address.part == "slip":
        start, size = slip_span(address.number, frame)
        return start + size * 0.5
    ends = {"weld-front": tube_start(address.number, frame), "weld-rear": length - frame.reach}
    return ends.get(address.part, length / 2)


def slip_span(number_: int, frame: Frame) -> tuple[float, float]:
    """Start and length of the slip member along its shaft: behind the front yoke (common practice, no source)."""
    free = frame.length(number_, frame.side) - 2 * frame.reach
    size = max(4.0, min(5.2 * frame.half, 0.36 * free))
    return frame.reach, size


def tube_start(number_: int, frame: Frame) -> float:
    """Where the tube begins along its shaft: behind the slip member, or at the weld of the front yoke."""
    return sum(slip_span(number_, frame)) if frame.slips[number_ - 1] else frame.reach


def support_along(number_: int, frame: Frame) -> float:
    """Where the centre bearing sits on its shaft: just before the rear yoke."""
    return frame.length(number_, frame.side) - frame.reach - 0.55 * frame.half


def shape(kind: str, x: float, y: float, size: float = 7.0) -> str:
    """The sign of a kind of mark around (x, y)."""
    diamond = trace(("M", x, y - size), ("L", x + size, y), ("L", x, y + size), ("L", x - size, y), ("Z",))
    if kind in ("first", "start"):
        return tag("path", d=diamond, fill=INK, stroke=PAPER, stroke_width=1.4)
    if kind == "consequence":
        return tag("path", d=diamond, fill=PAPER, stroke=INK, stroke_width=2.0)
    if kind == "chosen":
        s = size * 0.85
        d = trace(("M", x - s, y - s * 0.7), ("H", x + s), ("L", x, y + s), ("Z",))
        return tag("path", d=d, fill=ACCENT, stroke=PAPER, stroke_width=1.0)
    s = size * 0.62
    return tag("rect", x=x - s, y=y - s, width=2 * s, height=2 * s, fill=INK, stroke=PAPER, stroke_width=1.0)


@dataclass(frozen=True)
class Band:
    """The marks' labels in lanes under the side view."""

    flags: tuple[Flag, ...]
    lanes: tuple[int, ...]
    lefts: tuple[float, ...]
    spots: tuple[tuple[float, float], ...]

    @property
    def height(self) -> float:
        """Room that the labels need."""
        return (max(self.lanes) + 1) * LANE + 8.0 if self.lanes else 0.0


def band_for(marks: Marks, train: Train, frame: Frame) -> Band:
    """Give every label a lane in which it touches no other."""
    shown = sorted(
        (flag for flag in flags(marks) if placed(flag, train)),
        key=lambda f: (spot(f.address, frame)[0], KINDS.index(f.kind)),
    )
    spots = tuple(spot(flag.address, frame) for flag in shown)
    spans = []
    for flag, (x, _) in zip(shown, spots, strict=True):
        width = _label_width(flag, frame)
        left = _label_left(x, width, frame)
        spans.append((left, left + width))
    lanes = in_lanes(spans, gap=10.0)
    return Band(tuple(shown), lanes, tuple(left for left, _ in spans), spots)


def _label_left(x: float, width: float, frame: Frame) -> float:
    """Right of its leader where there is room; at the axle flush right; else left of its leader."""
    edge = frame.sheet.width - frame.sheet.pad
    if x + 1.0 + width <= edge:
        return x + 1.0
    flush = edge - width
    return flush if flush > frame.x[-1] + 4.0 else max(frame.sheet.pad, x - 3.0 - width)


def _texts(flag: Flag, frame: Frame) -> tuple[str, str]:
    if frame.sheet.narrow:
        return flag.heading, ""
    place = in_words(flag.address).partition(", ")[2] if flag.address.part not in ("", "slip", "tube") else ""
    label = ", ".join(part for part in (place, "; ".join(flag.labels)) if part)
    return flag.heading, shortened(label, 52)


def _label_width(flag: Flag, frame: Frame) -> float:
    heading, label = _texts(flag, frame)
    size = frame.sheet.small + 0.5
    wide = text_width(heading, size, "700")
    return 20.0 + wide + (6.0 + text_width(label, size) if label else 0.0)


def draw_band(band: Band, frame: Frame, side_y: float, band_y: float) -> str:
    """Leaders first, then shapes and labels, then the signs on the parts themselves."""
    drawn, leaders = [], []
    taken: dict[tuple[float, float], int] = {}
    for flag, lane, left, (x, y) in zip(band.flags, band.lanes, band.lefts, band.spots, strict=True):
        row_y = band_y + lane * LANE + LANE / 2 + 4.0
        leaders.append(line(x, side_y + y, x, row_y, stroke=SOFT, width=0.9))
        shift = taken.get((x, y), 0)
        drawn.append(_flag_label(flag, frame, left, row_y))
        if flag.kind != "chosen":
            taken[x, y] = shift + 1
            drawn.append(_on_the_part(flag, x, side_y + y, shift))
    return group((*leaders, *drawn), class_="marks")


def _flag_label(flag: Flag, frame: Frame, left: float, y: float) -> str:
    heading, label = _texts(flag, frame)
    size = frame.sheet.small + 0.5
    weight = "600" if flag.kind in ("seen", "consequence") else "700"
    ink = ACCENT if flag.kind == "chosen" else INK
    paper = tag("rect", x=left + 1, y=y - 9, width=_label_width(flag, frame) - 2, height=18, fill=PAPER)
    texts = words(left + 20, y + 4.3, heading, size=size, weight=weight, fill=ink)
    if label:
        at = left + 26 + text_width(heading, size, weight)
        texts += words(at, y + 4.3, label, size=size, fill=SOFT)
    return paper + shape(flag.kind, left + 9, y) + texts


def _on_the_part(flag: Flag, x: float, y: float, shift: int) -> str:
    size = {"first": 10.0, "start": 10.0, "consequence": 8.5}.get(flag.kind, 6.5)
    place = f"translate({number(x)} {number(y - shift * 15.0)})"
    return group(
        shape(flag.kind, 0, 0, size), class_="mark", data_kind=flag.kind, data_place=str(flag.address),
        transform=place, pointer_events="none",
    )  # fmt: skip

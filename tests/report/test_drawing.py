"""The driveline drawing: everything is there, in its place and to scale, whatever is known."""

from __future__ import annotations

import hashlib
import itertools
import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import beachmark.report
from beachmark.basis.values import Known, Value
from beachmark.driveline.parts import End, Joint, Shaft, Slip, Tube
from beachmark.driveline.positions import Address, parse_address
from beachmark.driveline.train import Train
from beachmark.report.drawing import Mark, cross_svg, driveline_svg, driveline_table
from beachmark.report.drawing.angles import bends, slope_words
from beachmark.report.drawing.lanes import in_lanes
from beachmark.report.drawing.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"


def angle(degrees: float, known: Known = Known.MEASURED) -> Value:
    return Value.exact(math.radians(degrees), "angle", known)


def length(metres: float, known: Known = Known.MEASURED) -> Value:
    return Value.exact(metres, "length", known)


def level_train(*lengths: float) -> Train:
    shafts = tuple(Shaft(length=length(x), slope=angle(0), plan=angle(0)) for x in lengths)
    return Train(shafts, (Joint(),) * (len(shafts) + 1), End(angle(0), angle(0)), End(angle(0), angle(0)))


def tipper() -> Train:
    front = Shaft(
        length=length(0.86), slope=angle(-2.1), plan=angle(0), phase=angle(0),
        tube=Tube(outer_diameter=length(0.1016), wall=length(0.004)), support=True,
    )  # fmt: skip
    rear = Shaft(
        length=length(1.48), slope=angle(-5.4), plan=angle(0), phase=angle(15),
        tube=Tube(outer_diameter=length(0.1143)), slip=Slip(engaged_length=length(0.095)),
    )  # fmt: skip
    ends = End(angle(-3.6), angle(0)), End(angle(-4.0, Known.ASSUMED), angle(0))
    return Train((front, rear), (Joint(),) * 3, *ends)


def unknown(shafts: int = 1) -> Train:
    return Train((Shaft(),) * shafts, (Joint(),) * (shafts + 1))


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def texts(svg: str) -> list[str]:
    return [element.text or "" for element in parsed(svg).iter(f"{SVG}text")]


def numbers(text: str) -> list[float]:
    return [float(x) for x in re.findall(r"-?[0-9]+(?:\.[0-9]+)?", text)]


def mark_x(svg: str) -> dict[str, float]:
    marks = [element for element in parsed(svg).iter(f"{SVG}g") if element.get("class") == "mark"]
    return {element.attrib["data-place"]: numbers(element.attrib["transform"])[0] for element in marks}


def joint_x(train: Train, width: int = 1120) -> list[float]:
    marks = {Address("joint", k): [Mark("seen")] for k in range(1, train.layout.joints + 1)}
    return [x for _, x in sorted(mark_x(driveline_svg(train, marks=marks, width=width)).items())]


def links(svg: str) -> Iterator[ElementTree.Element]:
    return (element for element in parsed(svg).iter(f"{SVG}a"))


@pytest.mark.parametrize("shafts", [1, 2, 3, 4])
@pytest.mark.parametrize("width", [390, 1120])
def test_every_place_can_be_followed(shafts: int, width: int) -> None:
    train = unknown(shafts)
    wanted = {Address("gearbox"), Address("axle")}
    for kind in ("joint", "shaft", "slip", "support"):
        wanted |= set(train.layout.places(kind))
    svg = driveline_svg(train, link=lambda at: f"/train?at={at}&x=1", width=width)
    by_keyboard = {link.attrib["href"] for link in links(svg) if link.get("tabindex") is None}
    assert by_keyboard == {f"/train?at={at}&x=1" for at in wanted}
    for link in links(svg):
        assert link.get("class") == "part"
        assert link.attrib["aria-label"]
        (touch,) = [r for r in link.iter(f"{SVG}rect") if r.get("class") == "touch"]
        assert min(float(touch.attrib["width"]), float(touch.attrib["height"])) >= 44.0


def test_names_are_unique_and_without_links_nothing_leads_away() -> None:
    svg = driveline_svg(tipper())
    ids = [element.get("id") for element in parsed(svg).iter() if element.get("id")]
    assert len(ids) == len(set(ids)) == 2 * (2 + 3 + 2 + 2 + 1)
    assert list(links(svg)) == []
    assert "<script" not in svg
    assert "style" not in {key for element in parsed(svg).iter() for key in element.attrib}
    assert not re.search(r"(?:href|src|url)\s*[=(]", svg)


@pytest.mark.parametrize("width", [390, 1120])
def test_drawn_lengths_have_the_ratio_of_the_true_lengths(width: int) -> None:
    x = joint_x(level_train(0.8, 1.6, 0.4), width)
    drawn = [b - a for a, b in itertools.pairwise(x)]
    assert drawn[1] / drawn[0] == pytest.approx(2.0, abs=0.01)
    assert drawn[2] / drawn[0] == pytest.approx(0.5, abs=0.01)


def test_the_scale_bar_has_the_scale_of_the_shafts() -> None:
    svg = driveline_svg(level_train(1.0, 2.0))
    (scale,) = [g for g in parsed(svg).iter(f"{SVG}g") if g.get("class") == "scale"]
    fields = [float(rect.attrib["width"]) for rect in scale.iter(f"{SVG}rect")]
    metres = float((list(scale.iter(f"{SVG}text"))[-1].text or "").removesuffix(" m"))
    x = joint_x(level_train(1.0, 2.0))
    assert sum(fields) / metres == pytest.approx(x[1] - x[0], rel=0.001)


def test_a_mark_one_joint_further_back_moves_by_that_shaft() -> None:
    train = level_train(0.8, 1.6)
    x = joint_x(train)
    for k in (1, 2):
        at = Address("joint", k, "trunnion-A1")
        here = mark_x(driveline_svg(train, marks={at: [Mark("first")]}))
        there = mark_x(driveline_svg(train, marks={at.moved(1): [Mark("first")]}))
        assert there[str(at.moved(1))] - here[str(at)] == pytest.approx(x[k] - x[k - 1], abs=0.02)


def test_a_shaft_whose_rear_end_is_higher_rises_towards_the_axle() -> None:
    rising = replace(level_train(1.0), shafts=(Shaft(length=length(1.0), slope=angle(6), plan=angle(-6)),))
    marks = {Address("joint", k): [Mark("seen")] for k in (1, 2)}
    drawn = [
        g.attrib["transform"]
        for g in parsed(driveline_svg(rising, marks=marks)).iter(f"{SVG}g")
        if g.get("class") == "mark"
    ]
    first, last = (numbers(transform)[1] for transform in drawn)
    assert last < first  # the screen counts downwards
    assert slope_words(math.radians(6)) == "6.0° nose down"
    assert {"6.0° nose down", "6.0° to the left"} <= set(texts(driveline_svg(rising)))


def test_missing_values_are_empty_boxes_and_never_numbers() -> None:
    svg = driveline_svg(unknown(2))
    shown = texts(svg)
    assert shown.count("?") >= 3 + 2 * 4 + 4 + 2  # joints; length, slope, plan, phase; ends; bearing, slip
    assert not [text for text in shown if "mm" in text or "nose" in text or ("°" in text and "25°" not in text)]
    assert "No length known: not to scale." in " ".join(shown)
    known = driveline_svg(level_train(1.0))
    assert shown.count("?") > texts(known).count("?")


def test_assumed_values_say_so_in_words_and_in_dashes() -> None:
    shown = texts(driveline_svg(tipper()))
    assert "4.0° nose up, assumed" in shown
    (axle,) = [g for g in parsed(driveline_svg(tipper())).iter(f"{SVG}g") if g.get("id") == "side-axle"]
    (gearbox,) = [g for g in parsed(driveline_svg(tipper())).iter(f"{SVG}g") if g.get("id") == "side-gearbox"]
    assert any(p.get("stroke-dasharray") for p in axle.iter(f"{SVG}path"))
    assert not any(p.get("stroke-dasharray") for p in gearbox.iter(f"{SVG}path"))


def test_working_angles() -> None:
    """In one plane the working angle is the difference of the slopes (elementary geometry)."""
    found = bends(tipper())
    expected = (3.6 - 2.1, 5.4 - 2.1, 5.4 - 4.0)
    assert [math.degrees(bend.combined or 0) for bend in found] == pytest.approx(expected, abs=1e-9)
    assert {"1.5°", "3.3°"} <= set(texts(driveline_svg(tipper())))
    measured = replace(tipper(), joints=(Joint(angle=angle(2.5)), Joint(), Joint()))
    assert "slopes give 1.5°" in texts(driveline_svg(measured))


def test_one_view_alone_is_not_called_the_working_angle() -> None:
    train = Train((Shaft(slope=angle(3)),), (Joint(), Joint()), End(slope=angle(1)))
    assert bends(train)[0].combined is None
    assert "side 2.0°" in texts(driveline_svg(train))
    assert ("Joint 1", "working angle not known", "missing") in driveline_table(train)


def test_every_kind_of_mark_has_its_own_shape_and_word() -> None:
    marks = {
        parse_address("joint-2/trunnion-A1"): [Mark("first", "old marks")],
        parse_address("joint-3"): [Mark("consequence")],
        parse_address("shaft-2/slip"): [Mark("seen", "dry"), Mark("seen", "rust")],
        parse_address("support-1"): [Mark("chosen")],
    }
    svg = driveline_svg(tipper(), marks=marks)
    assert {"FIRST", "consequence", "2 seen", "CHOSEN", "dry; rust", "arm A1, old marks"} <= set(texts(svg))
    drawn = [g for g in parsed(svg).iter(f"{SVG}g") if g.get("class") == "mark"]
    looks = {g.attrib["data-kind"]: (g[0].tag, g[0].get("fill")) for g in drawn}
    assert len(set(looks.values())) == len(looks) == 3
    chosen = [g for g in parsed(svg).iter(f"{SVG}g") if g.get("id") == "side-support-1"]
    assert any(element.get("stroke") == "#b4530a" for element in chosen[0].iter())


def test_marks_without_a_spot_are_listed_not_lost() -> None:
    marks = {Address("case"): [Mark("seen", "heard a clunk")], Address("joint", 9): [Mark("first", "odd")]}
    shown = " ".join(texts(driveline_svg(tipper(), marks=marks)))
    assert "heard a clunk" in shown
    assert "joint 9, first failure: odd" in shown


def test_an_unknown_kind_of_mark_is_refused() -> None:
    with pytest.raises(ValueError, match="first, start, consequence, seen, chosen"):
        Mark("guilty")


def test_teeth_out_turn_the_rear_yoke_and_stand_in_words() -> None:
    """One tooth of 16 is the sixteenth of a turn, 22.5 degrees: drawn as a phase of that angle is."""
    base = level_train(1.2)
    teeth, phase = (
        replace(base, shafts=(replace(base.shafts[0], **kind),))  # type: ignore[arg-type]
        for kind in ({"slip": Slip(teeth=16, teeth_out=1)}, {"phase": angle(360 / 16), "slip": Slip(teeth=16)})
    )
    for width in (1120, 390):
        bars = [_phase_bars(driveline_svg(train, width=width)) for train in (teeth, phase)]
        assert bars[0] == bars[1]
        assert len(set(bars[0])) == 2, "the rear bar stands otherwise than the front bar"
        assert any("1 of 16 teeth out" in text for text in texts(driveline_svg(teeth, width=width)))
    rows = driveline_table(teeth)
    assert ("Shaft 1", "rear yoke against front yoke turned 22.5°, 1 of 16 teeth out", "computed") in rows
    assert ("Shaft 1 slip", "1 of 16 teeth out, engaged length not known", "stated") in rows


def _phase_bars(svg: str) -> list[tuple[float, float]]:
    """How far each bar of the row of yokes reaches across and up."""
    group = next(one for one in parsed(svg).iter(f"{SVG}g") if one.get("class") == "phases")
    found = [numbers(one.get("d") or "") for one in group.iter(f"{SVG}path")]
    return [(round(x2 - x1, 2), round(y2 - y1, 2)) for x1, y1, x2, y2 in found]


def test_teeth_out_of_an_uncounted_slip_are_said_without_an_angle() -> None:
    base = level_train(1.2)
    train = replace(base, shafts=(replace(base.shafts[0], slip=Slip(teeth_out=2)),))
    assert ("Shaft 1", "rear yoke against front yoke turned by an unknown angle, 2 teeth out", "stated") in (
        driveline_table(train)
    )
    assert "2 teeth out" in texts(driveline_svg(train))


def test_where_nothing_broke_the_place_is_where_it_starts() -> None:
    drawn = driveline_svg(level_train(1.2), marks={Address("shaft", 1): [Mark("start")]})
    assert {"STARTS HERE", "where it starts"} <= set(texts(drawn))
    assert "first failure" not in drawn


HOSTILE = '<script>alert("1")</script>&\x00\x1b\ud800\u202f]]>'


def test_hostile_texts_stay_texts() -> None:
    marks = {Address("joint", 1): [Mark("seen", HOSTILE)]}
    for svg in (
        driveline_svg(tipper(), title=HOSTILE, marks=marks, link=lambda _: HOSTILE),
        cross_svg(marks=marks, link=lambda _: HOSTILE),
    ):
        assert "<script" not in svg
        assert not [element for element in parsed(svg).iter() if "script" in element.tag]
        assert any('<script>alert("1")</script>&' in (text or "") for text in parsed(svg).itertext())


def test_the_table_says_what_the_drawing_shows() -> None:
    rows = driveline_table(tipper())
    assert ("Shaft 2", "length between joints 1480 mm", "measured") in rows
    assert ("Axle", "slope 4.0° nose up", "assumed") in rows
    assert ("Shaft 2", "tube wall not known", "missing") in rows
    assert ("Shaft 2", "rear yoke against front yoke turned 15.0°", "measured") in rows
    assert next(part for part, _, _ in rows) == "Gearbox"
    assert [part for part, _, _ in rows][-1] == "Axle"


def test_the_cross_offers_every_arm_and_cap_and_puts_the_sign_on_the_right_one() -> None:
    at = parse_address("joint-3/trunnion-A1")
    svg = cross_svg(marks={at: [Mark("first")], at.moved(-1): [Mark("seen")]}, link=str, joint=3)
    wanted = {f"joint-3/{part}-{arm}" for part in ("trunnion", "cap") for arm in ("G1", "G2", "A1", "A2")}
    assert {link.attrib["href"] for link in links(svg)} == wanted | {"joint-3/yoke-front", "joint-3/yoke-rear"}
    places = {}
    for arm in ("G1", "G2", "A1", "A2"):
        marked = cross_svg(marks={Address("joint", 1, f"trunnion-{arm}"): [Mark("first")]})
        (sign,) = [g for g in parsed(marked).iter(f"{SVG}g") if g.get("class") == "mark"]
        label = next(t for t in parsed(marked).iter(f"{SVG}text") if t.text == arm)
        x, y = numbers(sign.attrib["transform"])
        places[arm] = (x, y)
        distances = math.hypot(x - float(label.attrib["x"]), y - float(label.attrib["y"]))
        assert distances < 130.0  # the sign lies on the arm's own side of the cross
    assert places["G1"][0] == places["G2"][0]
    assert places["A1"][1] == places["A2"][1]
    assert list(mark_x(svg)) == [str(at)]


def test_labels_of_one_lane_keep_apart() -> None:
    spans = [(0.0, 10.0), (5.0, 20.0), (12.0, 30.0), (21.0, 22.0)]
    lanes = in_lanes(spans, gap=1.0)
    for i, a in enumerate(spans):
        for j, b in enumerate(spans[:i]):
            assert lanes[i] != lanes[j] or a[0] >= b[1] + 1.0 or b[0] >= a[1] + 1.0
    assert max(lanes) == 1


def test_texts_of_the_phone_sheet_are_large_enough_and_inside() -> None:
    for train in (tipper(), unknown(4)):
        root = parsed(driveline_svg(train, width=390, title="A title that is much too long for a phone's width"))
        for element in root.iter(f"{SVG}text"):
            size, x = float(element.attrib["font-size"]), float(element.attrib["x"])
            wide = text_width(element.text or "", size, element.attrib["font-weight"])
            left = x - wide * {"middle": 0.5, "end": 1.0}.get(element.get("text-anchor", ""), 0.0)
            assert left >= 0.0
            assert left + wide <= 392.0
            assert size >= 12.0 or element.text == "?"


def test_the_fonts_are_those_of_the_manifest() -> None:
    folder = Path(beachmark.report.__file__).parent / "fonts"
    listed = json.loads((folder / "manifest.json").read_text())
    assert {entry["file"] for entry in listed} | {"manifest.json"} == {path.name for path in folder.iterdir()}
    for entry in listed:
        assert hashlib.sha256((folder / entry["file"]).read_bytes()).hexdigest() == entry["sha256"]
        assert entry["licence"] == "OFL-1.1"


def maybe(dimension: str, least: float, most: float) -> st.SearchStrategy[Value | None]:
    known = st.sampled_from(list(Known))
    value = st.builds(lambda si, how: Value.exact(si, dimension, how), st.floats(least, most), known)
    return st.none() | value


ANGLES = maybe("angle", -math.pi / 2, math.pi / 2)
SHAFTS = st.builds(
    Shaft, length=maybe("length", 1e-3, 6.0), slope=ANGLES, plan=ANGLES, phase=maybe("angle", -7.0, 7.0),
    tube=st.builds(Tube, outer_diameter=maybe("length", 1e-3, 1.0), wall=maybe("length", 1e-4, 0.1)),
    slip=st.none() | st.builds(Slip, engaged_length=maybe("length", 1e-3, 2.0)), support=st.booleans(),
)  # fmt: skip
ENDS = st.builds(End, slope=ANGLES, plan=ANGLES)
ADDRESSES = st.sampled_from(
    ["joint-1/cap-A1", "joint-2", "joint-5/yoke-rear", "shaft-1/weld-front", "shaft-2/slip", "support-1", "axle",
     "gearbox", "engine", "case", "wheels"]
).map(parse_address)  # fmt: skip
MARKS = st.dictionaries(
    ADDRESSES,
    st.lists(
        st.builds(Mark, st.sampled_from(["seen", "first", "consequence", "chosen"]), st.text(max_size=60)), max_size=3
    ),
)


@st.composite
def trains(draw: st.DrawFn) -> Train:
    shafts = tuple(draw(st.lists(SHAFTS, min_size=1, max_size=4)))
    joints = tuple(Joint(angle=draw(ANGLES)) for _ in range(len(shafts) + 1))
    return Train(shafts, joints, draw(ENDS), draw(ENDS))


@settings(max_examples=120, deadline=None)
@given(train=trains(), marks=MARKS, title=st.text(max_size=80), width=st.sampled_from([200, 390, 800, 1120]))
def test_whatever_is_known_the_drawing_is_well_formed_and_on_its_sheet(
    train: Train, marks: dict[Address, list[Mark]], title: str, width: int
) -> None:
    svg = driveline_svg(train, marks=marks, title=title, width=width, link=str)
    root = parsed(svg)
    _, _, wide, high = numbers(root.attrib["viewBox"])
    assert 0 < high < 4000
    for element in root.iter(f"{SVG}text"):
        assert 0 <= float(element.attrib["y"]) <= high
        assert -2 <= float(element.attrib["x"]) <= wide + 2
    assert "nan" not in svg or "nan" in title  # hypothesis writes that word, too
    assert "inf" not in [word for a in root.iter() for word in a.attrib.values()]
    flags = [g for g in root.iter(f"{SVG}g") if g.get("class") == "mark"]
    assert all(-2 <= numbers(g.attrib["transform"])[0] <= wide + 2 for g in flags)
    assert len(driveline_table(train)) == 4 + 7 * len(train.shafts) + 3 * len(train.joints) + len(
        train.shafts
    ) - 1 + sum(bend.disagrees for bend in bends(train))

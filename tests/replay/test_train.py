"""Layouts that cannot be are refused, with what is wrong with them."""

import pytest

from beachmark.mechanics.replay.drive import Course, Event, Ramp, event_values
from beachmark.mechanics.replay.parameters import parameters
from beachmark.mechanics.replay.train import Coupling, Engine, Layout, Station, Tyre, Vehicle
from tests.replay.trains import nominal, shaft_layout

A, B, C = (Station(name=name) for name in "abc")


def coupling(name: str, driving: str, *driven: str) -> Coupling:
    return Coupling(name=name, driving=driving, driven=driven)


@pytest.mark.parametrize(
    ("layout", "said"),
    [
        ({"stations": (), "couplings": ()}, "stations is empty"),
        ({"stations": (A, A), "couplings": ()}, "'a' is given 2 times"),
        ({"stations": (A, B), "couplings": (coupling("a", "a", "b"),)}, "'a' is given 2 times"),
        ({"stations": (A,), "couplings": (coupling("s", "a", "x"),)}, "s names station 'x'"),
        ({"stations": (A, B), "couplings": (coupling("s", "a", "b"), coupling("t", "a", "b"))}, "driven 2 times"),
        ({"stations": (A, B), "couplings": (coupling("s", "a", "b"), coupling("t", "b", "a"))}, "circle"),
        ({"stations": (A, B, C), "couplings": (coupling("s", "a", "a", "b", "c"),)}, "it must drive 1 or 2"),
        ({"stations": (A,), "couplings": (), "tyres": (Tyre(name="t", wheel="a"),)}, "vehicle is missing"),
        ({"stations": (A,), "couplings": (), "engines": (Engine(name="e", station="a", knots=1),)}, "1 knots"),
        ({"stations": (A,), "couplings": (), "vehicle": Vehicle(name="a")}, "'a' is given 2 times"),
    ],
)
def test_a_train_that_cannot_be_is_refused(layout: dict[str, tuple[object, ...]], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Layout(**layout)  # type: ignore[arg-type]


def test_couplings_are_put_in_order_from_the_engine() -> None:
    layout = Layout(stations=(A, B, C), couplings=(coupling("second", "b", "c"), coupling("first", "a", "b")))
    assert [part.name for part in layout.from_the_engine] == ["first", "second"]
    assert layout.roots == ("a",)


def test_each_parameter_has_a_name_of_its_own() -> None:
    for layout in (shaft_layout(4, retarder=True, axles=2), shaft_layout(1, converter=True)):
        names = [parameter.name for parameter in parameters(layout)]
        assert len(set(names)) == len(names)
        assert set(nominal(layout)) <= set(names)


def test_a_course_becomes_parameters_and_a_wrong_one_is_refused() -> None:
    ramp = Ramp(start_s=0.1, takes_s=0.2, change=3.0)
    values = event_values(Event(duration_s=1.0, courses={"c.capacity": Course(value=1.0, ramps=(ramp,))}))
    assert values == {
        "c.capacity_nm": 1.0, "c.capacity_ramp_1_start_s": 0.1, "c.capacity_ramp_1_takes_s": 0.2,
        "c.capacity_ramp_1_change_nm": 3.0,
    }  # fmt: skip
    with pytest.raises(ValueError, match="at most 2"):
        Course(value=0.0, ramps=(ramp, ramp, ramp))
    with pytest.raises(ValueError, match=r"c.colour is no course"):
        event_values(Event(duration_s=1.0, courses={"c.colour": Course(value=0.0)}))

"""Joints and chains of joints with SciPy's rotations and a root finder instead of closed formulas.

Each shaft gets its own frame by turning the x axis into it; the angle of a driven shaft is searched until its pin
stands square to the driving pin. Derivatives are taken from the Fourier series of the motion found in this way.
"""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize_scalar  # type: ignore[import-untyped]
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped]

from beachmark.mechanics import chain, hooke

Array = NDArray[np.float64]
Bend = tuple[float, float]  # slope and plan angle of a shaft, deg
COUNT = 256
TURN = np.linspace(0.0, 2 * math.pi, COUNT, endpoint=False)
CROOKED: list[Bend] = [(0, 0), (4, 2), (1, 5), (-3, 3), (0, 0)]
CROOKED_PHASES_DEG = [10.0, 37.0, -63.0]


def _frame(bend: Bend) -> Array:
    """Axes of a shaft as rows: x along it, y and z square to it; yaw by the plan angle, then pitch up."""
    slope, plan = np.radians(bend)
    rise = math.atan(math.tan(slope) * math.cos(plan))
    axes: Array = Rotation.from_euler("ZY", [plan, -rise]).apply(np.eye(3))
    return axes


def _solved_turns(bends: Sequence[Bend], phases_deg: Sequence[float]) -> list[Array]:
    """Angle of each shaft behind a joint, less a constant of its own, for each angle of the first shaft."""
    frames, found = [_frame(bend) for bend in bends], []
    driving, first = TURN.copy(), frames[0]
    for after, phase in zip(frames[1:], [*phases_deg, 0.0], strict=True):
        pins = np.cos(driving)[:, None] * first[1] + np.sin(driving)[:, None] * first[2]
        turned, guess = [], float(driving[0]) + math.pi / 2
        for pin in pins:

            def square(angle: float, y: float = float(pin @ after[1]), z: float = float(pin @ after[2])) -> float:
                return math.cos(angle) * y + math.sin(angle) * z

            guess = brentq(square, guess - 1.5, guess + 1.5, xtol=1e-14)
            turned.append(guess)
            guess += 2 * math.pi / COUNT
        found.append(np.array(turned))
        driving, first = found[-1] + math.radians(phase), after
    return found


def _series(lead: Array) -> Array:
    """Fourier coefficients of a lead, by order."""
    coefficients: Array = np.fft.rfft(lead) / COUNT
    coefficients[1:] *= 2
    return coefficients[:60]


def _value(coefficients: Array, angle: float, derivative: int = 0) -> float:
    order = np.arange(coefficients.size)
    terms = coefficients * (1j * order) ** derivative * np.exp(1j * order * angle)
    return float(terms.real.sum())


def _directions(bends: Sequence[Bend]) -> Array:
    slopes, plans = np.radians(bends).T
    return np.array([chain.direction(slope_rad=s, plan_rad=p) for s, p in zip(slopes, plans, strict=True)])


@pytest.fixture(scope="module", params=[4.0, 12.0, 25.0], ids="{} deg".format)
def joint(request: pytest.FixtureRequest) -> tuple[float, Array]:
    """A joint angle, and the Fourier series of the driven shaft's lead; the driving pin starts in the bend plane."""
    turned = _solved_turns([(0, 0), (0, request.param)], [])[0]
    return math.radians(request.param), _series(turned - math.pi / 2 - TURN)


def test_motion_of_one_joint_is_the_one_that_was_searched(joint: tuple[float, Array]) -> None:
    angle, lead = joint
    for at in (0.0, 0.3, 1.1, 2.9, 5.0):
        found = hooke.driven_angle(angle_rad=angle, drive_angle_rad=at)
        assert found - at == pytest.approx(_value(lead, at), abs=1e-11)
        assert hooke.speed_ratio(angle_rad=angle, drive_angle_rad=at) - 1 == pytest.approx(
            _value(lead, at, 1), abs=1e-9
        )
        slowed = hooke.driven_acceleration(angle_rad=angle, drive_angle_rad=at, speed_rad_s=150.0)
        assert slowed == pytest.approx(150.0**2 * _value(lead, at, 2), abs=1e-3)


def test_extremes_of_one_joint_are_those_of_the_searched_motion(joint: tuple[float, Array]) -> None:
    angle, lead = joint
    fastest, slowest = (1 + _value(lead, at, 1) for at in (0.0, math.pi / 2))
    assert hooke.greatest_ratio(angle_rad=angle) == pytest.approx(fastest, abs=1e-9)
    assert hooke.least_ratio(angle_rad=angle) == pytest.approx(slowest, abs=1e-9)
    assert hooke.non_uniformity(angle_rad=angle) == pytest.approx(fastest - slowest, abs=2e-9)
    assert hooke.angle_for_fluctuation(fluctuation=fastest - slowest) == pytest.approx(angle, rel=1e-6)
    equal = brentq(lambda at: _value(lead, at, 1), 0.1, 1.5)
    assert hooke.drive_angle_of_unit_ratio(angle_rad=angle) == pytest.approx(equal, abs=1e-7)
    hardest = minimize_scalar(lambda at: _value(lead, at, 2), bounds=(0.1, 1.5), method="bounded")
    assert hooke.drive_angle_of_greatest_acceleration(angle_rad=angle) == pytest.approx(hardest.x, abs=1e-4)
    greatest = hooke.greatest_acceleration(angle_rad=angle, speed_rad_s=10.0)
    assert greatest == pytest.approx(-100 * hardest.fun, rel=1e-7)
    for order in (2, 4, 6):
        harmonic = hooke.lag_harmonic(angle_rad=angle, order=order)
        assert harmonic == pytest.approx(float(-lead[order].imag), abs=1e-11)


def test_harmonics_at_10_deg_in_digits() -> None:
    """0.00765427 and 2.92939e-5 rad, from the series of the searched motion and from the function."""
    lead = _series(_solved_turns([(0, 0), (0, 10)], [])[0] - math.pi / 2 - TURN)
    for order, digits in ((2, 0.00765427), (4, 2.92939e-5)):
        assert -lead[order].imag == pytest.approx(digits, rel=1e-5)
        assert hooke.lag_harmonic(angle_rad=math.radians(10), order=order) == pytest.approx(digits, rel=1e-5)


def test_greatest_acceleration_at_6_deg_in_digits() -> None:
    """0.0109867 w^2; the small-angle rule b^2 = 0.0109662 is 0.2 % low."""
    lead = _series(_solved_turns([(0, 0), (0, 6)], [])[0] - math.pi / 2 - TURN)
    hardest = minimize_scalar(lambda at: _value(lead, at, 2), bounds=(0.1, 1.5), method="bounded")
    assert -hardest.fun == pytest.approx(0.0109867, rel=1e-5)
    found = hooke.greatest_acceleration(angle_rad=math.radians(6), speed_rad_s=1.0)
    assert found == pytest.approx(0.0109867, rel=1e-5)
    assert math.radians(6) ** 2 == pytest.approx(0.0109662, abs=5e-8)


@pytest.mark.parametrize(
    ("first", "second", "true_deg", "half_digit", "roots_deg"),
    [
        ((0.0, 0.0), (3.0, 4.0), 4.99417, 5e-6, 5.0000),
        ((0.0, 0.0), (2.5, 5.5), 6.0352, 5e-5, 6.0415),
        ((15.0, 10.0), (20.0, -8.0), 17.896, 5e-4, 18.68),
    ],
    ids=["3 and 4 deg", "2.5 and 5.5 deg", "both inclined"],
)
def test_true_joint_angle_is_the_least_turn_between_the_shafts(
    first: Bend, second: Bend, true_deg: float, half_digit: float, roots_deg: float
) -> None:
    """Digits worked beforehand by the dot product; the root of the squared differences is not the angle."""
    axes = [_frame(bend)[0] for bend in (first, second)]
    rows = _directions([first, second])
    assert rows == pytest.approx(np.array(axes), abs=1e-14)
    turn, _ = Rotation.align_vectors([axes[1]], [axes[0]])
    found = math.degrees(chain.joint_angle(before=rows[0], after=rows[1]))
    assert found == pytest.approx(math.degrees(turn.magnitude()), rel=1e-9)
    assert found == pytest.approx(true_deg, abs=half_digit)
    assert math.hypot(second[0] - first[0], second[1] - first[1]) == pytest.approx(roots_deg, abs=0.005)
    assert math.degrees(float(chain.joint_angles(directions=rows)[0])) == pytest.approx(found, rel=1e-12)


def _in_plane(bends_deg: Sequence[float]) -> list[Bend]:
    return [(0.0, 0.0), *((float(slope), 0.0) for slope in np.cumsum(bends_deg))]


def _by_rule(bends: Sequence[Bend], phases_deg: Sequence[float]) -> tuple[Array, Array]:
    """Joint angles, and the drive yoke angles that the phasor rule takes."""
    rows = _directions(bends)
    planes = chain.bend_planes(directions=rows)
    yokes = chain.drive_yoke_angles(phases_rad=np.radians(phases_deg), bend_plane_rad=planes)
    return chain.joint_angles(directions=rows), yokes


@pytest.mark.parametrize(
    ("bends_deg", "phases_deg", "digits_deg"),
    [
        ([4.0, 3.0], [0.0], 2.64575),
        ([4.0, 3.0], [90.0], 5.0),
        ([4.0, 3.0], [22.5], 3.39822),
        ([2.0, 5.0, 3.0], [90.0, 0.0], 4.47214),
    ],
    ids=["4 and 3 deg in line", "90 deg out", "22.5 deg out", "2, 5, 3 deg, signs + + -"],
)
def test_equivalent_angle_in_one_plane_in_digits(
    bends_deg: list[float], phases_deg: list[float], digits_deg: float
) -> None:
    """Root of the phasor sum by hand, as a rule and from the searched motion, whose order 2 is tan^2(b/2)."""
    bends = _in_plane(bends_deg)
    lead = _series(_solved_turns(bends, phases_deg)[-1] - TURN)
    searched = 2 * math.atan(math.sqrt(abs(lead[2])))
    assert math.degrees(searched) == pytest.approx(digits_deg, rel=1e-3)
    angles, yokes = _by_rule(bends, phases_deg)
    rule = math.degrees(chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes))
    assert rule == pytest.approx(digits_deg, rel=2e-6)


def test_exact_motion_of_a_crooked_chain_is_the_searched_one() -> None:
    searched = _solved_turns(CROOKED, CROOKED_PHASES_DEG)[-1]
    found = chain.exact_chain_motion(
        directions=_directions(CROOKED), phases_rad=np.radians(CROOKED_PHASES_DEG), input_angles_rad=TURN
    )
    apart = found - searched  # the two count the output from different marks: one constant
    assert np.ptp(apart) < 1e-11
    assert np.ptp(searched - TURN) > 1e-3


def test_partial_phasors_are_size_and_place_of_the_second_order_behind_each_joint() -> None:
    """Behind joint j the lead is the imaginary part of s_j / 4 exp(2 i th): size and place both count."""
    turns = _solved_turns(CROOKED, CROOKED_PHASES_DEG)
    angles, yokes = _by_rule(CROOKED, CROOKED_PHASES_DEG)
    found = chain.partial_phasors(angles_rad=angles, drive_yoke_angles_rad=yokes)
    searched = np.array([4j * _series(turned - TURN)[2] for turned in turns])
    # What the rule leaves out is of the order of b^4 of the largest angles, 6 deg.
    assert np.abs(found - searched).max() < float(np.sum(angles**2)) ** 2
    assert np.abs(found - searched).max() < 0.01 * np.abs(searched).max()
    inner = chain.shaft_accelerations(
        angles_rad=angles, drive_yoke_angles_rad=yokes, speed_rad_s=150.0, from_rear=False
    )
    assert inner == pytest.approx(150.0**2 * np.abs(searched[:-1]), rel=0.02)
    whole = chain.torsional_acceleration(
        equivalent_angle_rad=chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes), speed_rad_s=150.0
    )
    assert whole == pytest.approx(150.0**2 * abs(searched[-1]), rel=0.02)

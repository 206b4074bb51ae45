"""The beam model of a driveline against independent solutions, limits, and laws that must hold for any line."""

import dataclasses
import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics.beam import (
    BeamLine,
    PointMass,
    Section,
    Spring,
    critical_speeds,
    half_critical,
    speed_diagram,
    whirl_modes,
)
from beachmark.mechanics.beam.elements import element_mass, element_rotary_inertia, element_stiffness

PIN = math.inf
TUBE = Section(outer_m=0.1, inner_m=0.092, length_m=1.5)


def _span(section: Section, radial_n_m: float = PIN, elements: int = 12) -> BeamLine:
    """One tube on the same support at both ends."""
    ends = tuple(Spring(shaft=0, position_m=place, radial_n_m=radial_n_m) for place in (0.0, section.length_m))
    return BeamLine(shafts=((section,),), supports=ends, elements_per_shaft=elements)


def _still(line: BeamLine, count: int = 6) -> np.ndarray:
    return whirl_modes(line=line, count=count).speeds_rad_s


def exact_pinned(section: Section, half_waves: int, gyroscopic: float = 0.0) -> float:
    """Lowest root of the pinned Timoshenko tube, whose shapes are sines; ``gyroscopic`` is spin over whirl speed.

    From E I t'' + k G A (w' - t) + w^2 rho I (1 - 2 g) t = 0 and k G A (w'' - t') + w^2 rho A w = 0.
    """
    k = half_waves * math.pi / section.length_m
    bending = section.youngs_pa * section.second_moment_m4 * k**2 + section.shear_rigidity_n
    shear = section.shear_rigidity_n * k**2
    tilt = section.density_kg_m3 * section.second_moment_m4 * (1 - 2 * gyroscopic)
    move = section.density_kg_m3 * section.area_m2
    # (bending - tilt x)(shear - move x) = (shear / k)^2 in x = w^2; the lower positive root.
    roots = np.roots([tilt * move, -(bending * move + shear * tilt), bending * shear - (shear / k) ** 2])
    return math.sqrt(min(root.real for root in roots if root.real > 0))


sections = st.builds(
    lambda outer, wall, length: Section(outer_m=outer, inner_m=outer * (1 - 2 * wall), length_m=length),
    st.floats(0.05, 0.15),
    st.floats(0.02, 0.3),
    st.floats(0.15, 1.2),
)


@st.composite
def lines(draw: st.DrawFn) -> BeamLine:
    """One to three shafts of one to three sections, soft at both ends and at each joint, with some masses."""
    shafts = tuple(tuple(draw(st.lists(sections, min_size=1, max_size=3))) for _ in range(draw(st.integers(1, 3))))
    ends = [sum(section.length_m for section in shaft) for shaft in shafts]
    stiffness = st.floats(2e5, 1e8)
    # Places on a grid: two that lie apart by just what makes them one would be one or two by rounding.
    place = st.integers(0, 100).map(lambda percent: percent / 100)
    supports = [Spring(shaft=0, position_m=0.0, radial_n_m=draw(stiffness), mass_kg=draw(st.floats(0, 15)))]
    supports += [
        Spring(shaft=i, position_m=end * max(0.8, draw(place)), radial_n_m=draw(stiffness), mass_kg=3.0)
        for i, end in enumerate(ends)
    ]
    masses = [
        PointMass(
            shaft=i,
            position_m=end * draw(place),
            mass_kg=draw(st.floats(0.5, 10)),
            transverse_inertia_kg_m2=0.01,
            polar_inertia_kg_m2=draw(st.floats(0, 0.02)),
        )
        for i, end in enumerate(ends)
    ]
    return BeamLine(shafts=shafts, supports=tuple(supports), masses=tuple(masses), elements_per_shaft=6)


# --- against independent solutions -----------------------------------------------------------------------------


@pytest.mark.parametrize("shear_share", [1e-6, 0.3, 8.0])
def test_element_matrices_are_the_integrals_of_the_exact_static_shapes(shear_share: float) -> None:
    rigidity, length, per_length, tilt_per_length = 3.0e4, 0.21, 12.0, 0.013
    shear = 12 * rigidity / (shear_share * length**2)
    yielding = rigidity / shear
    # w = c . (1, x, x^2, x^3); without load between the ends the slope is t = w' + (E I / k G A) w'''.

    def deflection(x: float) -> np.ndarray:
        return np.array([1, x, x**2, x**3])

    def slope(x: float) -> np.ndarray:
        return np.array([0, 1, 2 * x, 3 * x**2 + 6 * yielding])

    shapes = np.linalg.inv(np.array([deflection(0), slope(0), deflection(length), slope(length)]))
    points, weights = np.polynomial.legendre.leggauss(6)
    stiffness, mass, tilt = np.zeros((3, 4, 4))
    for point, weight in zip((points + 1) * length / 2, weights * length / 2, strict=True):
        w, t = deflection(point) @ shapes, slope(point) @ shapes
        bend = np.array([0, 0, 2, 6 * point]) @ shapes
        slip = np.array([0, 0, 0, -6 * yielding]) @ shapes
        stiffness += weight * (rigidity * np.outer(bend, bend) + shear * np.outer(slip, slip))
        mass += weight * per_length * np.outer(w, w)
        tilt += weight * tilt_per_length * np.outer(t, t)
    of_element = {
        "rigidity_n_m2": np.array([rigidity]),
        "shear_rigidity_n": np.array([shear]),
        "length_m": np.array([length]),
    }
    found = (
        (element_stiffness(**of_element), stiffness),
        (element_mass(mass_per_length_kg_m=np.array([per_length]), **of_element), mass),
        (element_rotary_inertia(inertia_per_length_kg_m=np.array([tilt_per_length]), **of_element), tilt),
    )
    for made, integral in found:
        assert made[0] == pytest.approx(integral, rel=1e-9, abs=1e-9 * np.abs(integral).max())


@pytest.mark.parametrize("half_waves", [1, 2, 3])
@pytest.mark.parametrize("length_m", [0.6, 1.5, 2.5])
def test_pinned_tube_is_the_exact_timoshenko_tube(length_m: float, half_waves: int) -> None:
    tube = dataclasses.replace(TUBE, length_m=length_m)
    line = _span(tube, elements=96)
    found = _still(line, half_waves)[half_waves - 1]
    critical = critical_speeds(line=line, count=half_waves).spins_rad_s
    backward = critical_speeds(line=line, count=half_waves, forward=False).spins_rad_s
    # Three half waves of the short span still have an error of 0.02 % on this mesh (it falls with its square).
    assert found == pytest.approx(exact_pinned(tube, half_waves), rel=5e-4)
    assert critical[-1] == pytest.approx(exact_pinned(tube, half_waves, 1.0), rel=5e-4)
    assert backward[-1] == pytest.approx(exact_pinned(tube, half_waves, -1.0), rel=5e-4)


def test_the_error_falls_with_the_square_of_the_element_length_and_is_small_by_default() -> None:
    exact = exact_pinned(TUBE, 1)
    errors = [_still(_span(TUBE, elements=n))[0] / exact - 1 for n in (12, 24, 48, 96)]
    assert [a / b for a, b in itertools.pairwise(errors)] == pytest.approx([4.0, 4.0, 4.0], rel=0.05)
    assert 0 < errors[0] < 1e-4


# --- limits ----------------------------------------------------------------------------------------------------


def test_stiff_supports_tend_to_pins_and_soft_ones_to_a_free_line() -> None:
    pinned, free = _still(_span(TUBE), 3), _still(BeamLine(shafts=((TUBE,),)), 5)
    gaps = [abs(_still(_span(TUBE, 10.0**power), 3) / pinned - 1).max() for power in (8, 9, 10, 12)]
    assert all(later < earlier / 3 for earlier, later in itertools.pairwise(gaps))
    assert gaps[-1] < 1e-4
    soft = _still(_span(TUBE, 1.0), 5)
    assert free[:2].tolist() == [0.0, 0.0]
    assert 0 < soft[0] < soft[1] < 1.0
    assert soft[2:] == pytest.approx(free[2:], rel=1e-6)


def test_a_joint_on_a_pin_leaves_two_spans_on_their_own() -> None:
    other = dataclasses.replace(TUBE, outer_m=0.12, inner_m=0.11, length_m=1.1)
    supports = (*_span(TUBE).supports, Spring(shaft=1, position_m=1.1, radial_n_m=PIN))
    both = _still(BeamLine(shafts=((TUBE,), (other,)), supports=supports), 6)
    alone = np.sort(np.concatenate([_still(_span(TUBE), 6), _still(_span(other), 6)]))[:6]
    assert both == pytest.approx(alone, rel=1e-9)


def test_a_joint_carries_no_moment_and_a_straight_tube_does() -> None:
    half = dataclasses.replace(TUBE, length_m=TUBE.length_m / 2)
    ends = _span(TUBE).supports
    rear = Spring(shaft=1, position_m=half.length_m, radial_n_m=PIN)
    welded = BeamLine(shafts=((half, half),), supports=ends, elements_per_shaft=12)
    jointed = BeamLine(shafts=((half,), (half,)), supports=(ends[0], rear))
    assert _still(welded) == pytest.approx(_still(_span(TUBE)), rel=1e-9)
    # Two halves that meet in a joint without support fold: that is no vibration but a loose line.
    loose = whirl_modes(line=jointed, count=2)
    assert loose.speeds_rad_s[0] == 0.0
    assert loose.dominant[0].kind == "free"
    assert loose.speeds_rad_s[1] > 0


def test_a_stiff_shaft_on_soft_ends_bounces_as_a_rigid_body() -> None:
    rod = Section(outer_m=0.12, inner_m=0.0, length_m=0.5)
    mass, stiffness = rod.area_m2 * rod.length_m * rod.density_kg_m3, 2.0e4
    modes = whirl_modes(line=_span(rod, stiffness), count=2)
    tilt = mass * (rod.length_m**2 / 12 + 0.12**2 / 16)
    bounce, rock = math.sqrt(2 * stiffness / mass), math.sqrt(2 * stiffness * 0.25**2 / tilt)
    # The rod's own bending takes a small part of the spring's travel.
    assert modes.speeds_rad_s == pytest.approx([bounce, rock], rel=1e-3)
    assert {part.kind for part in modes.dominant} == {"support"}
    assert modes.support_shares.sum(axis=1) == pytest.approx(1.0, abs=1e-2)
    assert np.abs(modes.shapes[0]) == pytest.approx(1.0, abs=1e-2)
    assert modes.shapes[1, 0] * modes.shapes[1, -1] == pytest.approx(-1.0, abs=1e-2)


def test_a_free_drum_on_its_shaft_outruns_the_spin_and_has_no_forward_critical_of_its_own() -> None:
    """A thin disc has more polar than transverse inertia: its tilting mode rises faster than the spin."""
    rod = Section(outer_m=0.05, inner_m=0.0, length_m=0.4, density_kg_m3=1.0)
    disc = PointMass(shaft=0, position_m=0.4, mass_kg=30.0, transverse_inertia_kg_m2=0.5, polar_inertia_kg_m2=1.0)
    clamp = Spring(shaft=0, position_m=0.0, radial_n_m=PIN, angular_nm_rad=PIN)
    line = BeamLine(shafts=((rod,),), supports=(clamp,), masses=(disc,))
    still = _still(line, 2)
    # Two motions of the disc on a light cantilever: k = E I [[12, -6 L], [-6 L, 4 L^2]] / L^3, no shear worth naming.
    rigidity, length = rod.youngs_pa * rod.second_moment_m4, rod.length_m
    matrix = rigidity / length**3 * np.array([[12, -6 * length], [-6 * length, 4 * length**2]])
    squares = np.sort(np.linalg.eigvals(np.diag([1 / 30.0, 1 / 0.5]) @ matrix).real)
    assert still == pytest.approx(np.sqrt(squares), rel=0.02)
    forward = critical_speeds(line=line, count=2)
    backward = critical_speeds(line=line, count=2, forward=False)
    assert forward.spins_rad_s[0] > still[0]
    assert forward.spins_rad_s[1] > 100 * still[1]  # what follows is the light rod's own
    assert len(backward.spins_rad_s) == 2
    assert (backward.spins_rad_s < still).all()


# --- laws ------------------------------------------------------------------------------------------------------


def _reversed(line: BeamLine) -> BeamLine:
    last = len(line.shafts) - 1

    def moved(item: Spring | PointMass) -> dict[str, float]:
        return {"shaft": last - item.shaft, "position_m": max(0.0, line.length_of(item.shaft) - item.position_m)}

    return dataclasses.replace(
        line,
        shafts=tuple(tuple(reversed(shaft)) for shaft in reversed(line.shafts)),
        supports=tuple(dataclasses.replace(item, **moved(item)) for item in line.supports),
        masses=tuple(dataclasses.replace(item, **moved(item)) for item in line.masses),
    )


@settings(max_examples=30, deadline=None)
@given(line=lines())
def test_a_line_turned_front_to_rear_whirls_alike(line: BeamLine) -> None:
    there, back = whirl_modes(line=line, count=4), whirl_modes(line=_reversed(line), count=4)
    assert back.speeds_rad_s == pytest.approx(there.speeds_rad_s, rel=1e-7)
    apart = np.diff(there.speeds_rad_s).min() > 1e-3 * there.speeds_rad_s[0]
    if apart:  # modes of one speed may mix at will
        assert back.shaft_shares[:, ::-1] == pytest.approx(there.shaft_shares, abs=1e-4)
        assert back.support_shares == pytest.approx(there.support_shares, abs=1e-4)
        assert np.abs(back.shapes[:, ::-1]) == pytest.approx(np.abs(there.shapes), abs=1e-3)


@settings(max_examples=30, deadline=None)
@given(line=lines(), size=st.floats(0.3, 3.0), youngs=st.floats(0.3, 3.0), density=st.floats(0.3, 3.0))
def test_a_line_of_another_size_and_metal_follows_the_law_of_similarity(
    line: BeamLine, size: float, youngs: float, density: float
) -> None:
    """All lengths times s, E times e, density times d: speeds times sqrt(e / d) / s, whatever the line."""

    def section(old: Section) -> Section:
        return Section(
            outer_m=old.outer_m * size,
            inner_m=old.inner_m * size,
            length_m=old.length_m * size,
            youngs_pa=old.youngs_pa * youngs,
            density_kg_m3=old.density_kg_m3 * density,
        )

    other = BeamLine(
        shafts=tuple(tuple(section(piece) for piece in shaft) for shaft in line.shafts),
        supports=tuple(
            Spring(
                shaft=old.shaft,
                position_m=old.position_m * size,
                radial_n_m=old.radial_n_m * youngs * size,
                mass_kg=old.mass_kg * density * size**3,
            )
            for old in line.supports
        ),
        masses=tuple(
            PointMass(
                shaft=old.shaft,
                position_m=old.position_m * size,
                mass_kg=old.mass_kg * density * size**3,
                transverse_inertia_kg_m2=old.transverse_inertia_kg_m2 * density * size**5,
                polar_inertia_kg_m2=old.polar_inertia_kg_m2 * density * size**5,
            )
            for old in line.masses
        ),
        elements_per_shaft=line.elements_per_shaft,
    )
    factor = math.sqrt(youngs / density) / size
    assert _still(other) == pytest.approx(_still(line) * factor, rel=1e-7)
    there, here = critical_speeds(line=other, count=3), critical_speeds(line=line, count=3)
    assert there.spins_rad_s == pytest.approx(here.spins_rad_s * factor, rel=1e-7)


@given(length_m=st.floats(8.0, 30.0), factor=st.floats(1.1, 2.5))
@settings(max_examples=20, deadline=None)
def test_a_slender_tube_slows_with_the_square_of_its_length(length_m: float, factor: float) -> None:
    short, long = (dataclasses.replace(TUBE, length_m=length) for length in (length_m, length_m * factor))
    ratio = _still(_span(short), 1)[0] / _still(_span(long), 1)[0]
    # Shear and tilt cost 1.7 pi^2 (radius of gyration / length)^2 and some: 0.05 % at the shortest.
    assert ratio == pytest.approx(factor**2, rel=1e-3)


@settings(max_examples=30, deadline=None)
@given(line=lines(), place=st.floats(0, 1), mass_kg=st.floats(0.1, 20))
def test_mass_slows_and_a_stiffer_support_speeds_up_every_mode(line: BeamLine, place: float, mass_kg: float) -> None:
    # The place gets its node in every one of them, so that the mesh stays the same.
    spot = {"shaft": 0, "position_m": place * line.length_of(0)}
    same = dataclasses.replace(line, masses=(*line.masses, PointMass(mass_kg=0.0, **spot)))
    heavy = dataclasses.replace(line, masses=(*line.masses, PointMass(mass_kg=mass_kg, **spot)))
    firm = dataclasses.replace(same, supports=(*line.supports, Spring(radial_n_m=1e6, **spot)))
    before = _still(same)
    assert (_still(heavy) <= before * (1 + 1e-9)).all()
    assert _still(heavy).sum() < before.sum()
    assert (_still(firm) >= before * (1 - 1e-9)).all()
    assert _still(firm).sum() > before.sum()


@settings(max_examples=30, deadline=None)
@given(line=lines(), spin_rad_s=st.floats(1, 800))
def test_spin_parts_forward_from_backward_and_both_are_in_the_diagram(line: BeamLine, spin_rad_s: float) -> None:
    still = _still(line)
    forward, backward = (
        whirl_modes(line=line, spin_rad_s=spin_rad_s, forward=way).speeds_rad_s for way in (True, False)
    )
    assert (forward >= still * (1 - 1e-6)).all()
    assert (backward <= still * (1 + 1e-6)).all()
    diagram = speed_diagram(line=line, spins_rad_s=[0.0, spin_rad_s])
    assert diagram.forward_rad_s == pytest.approx(np.array([still, forward]), rel=1e-7)
    assert diagram.backward_rad_s == pytest.approx(np.array([still, backward]), rel=1e-7)


@settings(max_examples=30, deadline=None)
@given(line=lines(), order=st.sampled_from([0.5, 1.0, 2.0, 4.0]), forward=st.booleans())
def test_at_a_critical_speed_the_whirl_is_order_times_the_spin(line: BeamLine, order: float, forward: bool) -> None:
    found = critical_speeds(line=line, order=order, forward=forward, count=3)
    for spin, speed in zip(found.spins_rad_s, found.modes.speeds_rad_s, strict=True):
        whirl = whirl_modes(line=line, spin_rad_s=float(spin), count=8, forward=forward).speeds_rad_s
        assert speed == pytest.approx(order * spin, rel=1e-12)
        # The solution at a spin keeps the lowest still modes only: hence not nearer.
        assert np.abs(whirl / speed - 1).min() < 1e-4


@settings(max_examples=20, deadline=None)
@given(line=lines())
def test_shares_make_up_the_whole_and_the_shape_is_scaled_to_one(line: BeamLine) -> None:
    modes = whirl_modes(line=line, spin_rad_s=200.0)
    whole = modes.shaft_shares.sum(axis=1) + modes.support_shares.sum(axis=1)
    assert whole == pytest.approx(1.0, abs=1e-9)
    assert modes.shapes.max(axis=1) == pytest.approx(1.0)
    assert np.abs(modes.shapes).max() <= 1.0 + 1e-12
    assert modes.shapes.shape[1] == len(modes.positions_m)
    assert (np.diff(modes.positions_m) >= 0).all()


def test_half_critical_is_the_critical_speed_of_the_second_order() -> None:
    line = _span(TUBE)
    by_order = critical_speeds(line=line, order=2.0, count=3).spins_rad_s
    assert half_critical(line=line, count=3).spins_rad_s.tolist() == by_order.tolist()
    assert by_order[0] == pytest.approx(_still(line)[0] / 2, rel=0.005)


def test_the_bearing_on_rubber_is_named_for_its_bounce_and_each_shaft_for_its_bending() -> None:
    long = dataclasses.replace(TUBE, length_m=1.9)
    line = BeamLine(
        shafts=((TUBE,), (long,)),
        supports=(
            Spring(shaft=0, position_m=0.0, radial_n_m=PIN),
            Spring(shaft=0, position_m=1.4, radial_n_m=3e5, mass_kg=5.0),
            Spring(shaft=1, position_m=1.9, radial_n_m=PIN),
        ),
    )
    dominant = [(part.kind, part.index) for part in whirl_modes(line=line, count=3).dominant]
    assert dominant == [("support", 1), ("shaft", 1), ("shaft", 0)]

"""What the beam model owes its reader: docstrings, keyword arguments, refusals by name, the margins as stated."""

import doctest
import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Callable
from typing import Any

import pytest

from beachmark.mechanics import beam
from beachmark.mechanics.beam import BeamLine, PointMass, Section, Spring

MODULES = [importlib.import_module(f"{beam.__name__}.{info.name}") for info in pkgutil.iter_modules(beam.__path__)]
FUNCTIONS: dict[str, Callable[..., Any]] = {name: getattr(beam, name) for name in beam.__all__ if name.islower()}
FUNCTIONS |= {
    name: function
    for name, function in inspect.getmembers(importlib.import_module(f"{beam.__name__}.elements"), inspect.isfunction)
    if name.startswith("element_")
}
PARTS = ("Formula:", "Units:", "Range:", "Raises: ValueError", "Source:", ">>> ")
TUBE = {"outer_m": 0.1, "inner_m": 0.09, "length_m": 1.5}
LINE = BeamLine(
    shafts=((Section(**TUBE),),),
    supports=tuple(Spring(shaft=0, position_m=place, radial_n_m=1e8) for place in (0.0, 1.5)),
)


def test_the_functions_are_all_here() -> None:
    assert set(FUNCTIONS) == {
        "cowper_shear_coefficient", "critical_speeds", "element_mass", "element_rotary_inertia", "element_stiffness",
        "half_critical", "margins", "speed_diagram", "whirl_modes",
    }  # fmt: skip


@pytest.mark.parametrize("name", FUNCTIONS)
def test_docstring_has_formula_units_range_errors_source_and_example(name: str) -> None:
    text = inspect.getdoc(FUNCTIONS[name]) or ""
    assert not [part for part in PARTS if part not in text]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_arguments_are_keyword_only(name: str) -> None:
    kinds = {argument.kind for argument in inspect.signature(FUNCTIONS[name]).parameters.values()}
    assert kinds == {inspect.Parameter.KEYWORD_ONLY}


@pytest.mark.parametrize("data", [Section, PointMass, Spring, BeamLine])
def test_data_are_frozen_and_given_by_keyword(data: type) -> None:
    assert data.__dataclass_params__.frozen  # type: ignore[attr-defined]
    assert {a.kind for a in inspect.signature(data).parameters.values()} == {inspect.Parameter.KEYWORD_ONLY}


def test_the_examples_in_the_docstrings_run() -> None:
    results = [doctest.testmod(module) for module in (beam, *MODULES)]
    assert sum(result.attempted for result in results) > 20
    assert sum(result.failed for result in results) == 0


def _with(**changes: Any) -> Callable[[], object]:
    return lambda: BeamLine(**({"shafts": LINE.shafts, "supports": LINE.supports} | changes))


def _support(**changes: float) -> Callable[[], object]:
    return lambda: Spring(**({"shaft": 0, "position_m": 0.0, "radial_n_m": 1e7} | changes))


def _mass(**changes: float) -> Callable[[], object]:
    return lambda: PointMass(**({"shaft": 0, "position_m": 0.0, "mass_kg": 1.0} | changes))


def _section(**changes: float) -> Callable[[], object]:
    return lambda: Section(**(TUBE | changes))


REFUSED: list[tuple[str, Callable[[], object]]] = [
    ("inner_m", _section(inner_m=0.1)),
    ("outer_m", _section(outer_m=math.nan)),
    ("length_m", _section(length_m=0.0)),
    ("youngs_pa", _section(youngs_pa=-1.0)),
    ("density_kg_m3", _section(density_kg_m3=0.0)),
    ("poisson", _section(poisson=0.6)),
    ("radial_n_m", _support(radial_n_m=-1.0)),
    ("radial_n_m", _support(radial_n_m=math.nan)),
    ("angular_nm_rad", _support(angular_nm_rad=-1.0)),
    ("position_m", _support(position_m=-0.1)),
    ("mass_kg", _support(mass_kg=math.inf)),
    ("mass_kg", _mass(mass_kg=-1.0)),
    ("transverse_inertia_kg_m2", _mass(transverse_inertia_kg_m2=math.nan)),
    ("polar_inertia_kg_m2", _mass(polar_inertia_kg_m2=-1.0)),
    ("shafts", _with(shafts=())),
    ("shafts", _with(shafts=((),))),
    ("length_m", _with(shafts=((Section(**TUBE), Section(**(TUBE | {"length_m": 1e-6}))),))),
    ("elements_per_shaft", _with(elements_per_shaft=0)),
    ("shaft", _with(supports=(Spring(shaft=1, position_m=0.0, radial_n_m=1.0),))),
    ("position_m", _with(masses=(PointMass(shaft=0, position_m=1.51, mass_kg=1.0),))),
    ("spin_rad_s", lambda: beam.whirl_modes(line=LINE, spin_rad_s=-1.0)),
    ("count", lambda: beam.whirl_modes(line=LINE, count=0)),
    ("order", lambda: beam.critical_speeds(line=LINE, order=0.0)),
    ("count", lambda: beam.critical_speeds(line=LINE, count=0)),
    ("count", lambda: beam.half_critical(line=LINE, count=0)),
    ("spins_rad_s", lambda: beam.speed_diagram(line=LINE, spins_rad_s=[])),
    ("spins_rad_s", lambda: beam.speed_diagram(line=LINE, spins_rad_s=[1.0, math.nan])),
    ("critical_rad_s", lambda: beam.margins(critical_rad_s=[], reached_rad_s=[1.0])),
    ("critical_rad_s", lambda: beam.margins(critical_rad_s=[0.0], reached_rad_s=[1.0])),
    ("reached_rad_s", lambda: beam.margins(critical_rad_s=[1.0], reached_rad_s=[-1.0])),
    ("inner_m", lambda: beam.cowper_shear_coefficient(outer_m=0.1, inner_m=0.1)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "call"), REFUSED)
def test_what_is_out_of_range_is_refused_by_name(name: str, call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=rf"^{re.escape(name)} (is|has|holds) .*; it must .*\.$"):
        call()


def test_a_free_disc_that_outruns_every_spin_is_refused_and_no_traceback_of_the_algebra() -> None:
    """A light rod with a thin heavy disc and no support: no forward critical speed can be told."""
    rod = Section(outer_m=0.05, inner_m=0.0, length_m=0.4, density_kg_m3=1.0)
    disc = PointMass(shaft=0, position_m=0.2, mass_kg=30.0, transverse_inertia_kg_m2=0.5, polar_inertia_kg_m2=1.0)
    line = BeamLine(shafts=((rod,),), masses=(disc,))
    with pytest.raises(ValueError, match=r"^supports is too loose; it must hold the line"):
        beam.critical_speeds(line=line)


def test_places_count_from_the_front_joint_and_joints_stand_twice() -> None:
    two = BeamLine(shafts=(LINE.shafts[0], LINE.shafts[0]), supports=LINE.supports, elements_per_shaft=2)
    positions = beam.whirl_modes(line=two, count=1).positions_m
    assert positions.tolist() == pytest.approx([0.0, 0.75, 1.5, 1.5, 2.25, 3.0])


def test_masses_and_supports_close_together_share_a_node() -> None:
    near = 0.7 + 1e-6
    masses = tuple(PointMass(shaft=0, position_m=place, mass_kg=1.0) for place in (0.7, near))
    one = PointMass(shaft=0, position_m=0.7, mass_kg=2.0)
    speeds = [
        beam.whirl_modes(line=BeamLine(shafts=LINE.shafts, supports=LINE.supports, masses=those)).speeds_rad_s
        for those in (masses, (one,))
    ]
    assert speeds[0].tolist() == speeds[1].tolist()


def test_margins_tell_share_nearest_and_how_many_were_passed() -> None:
    first, second, third = beam.margins(critical_rad_s=[900.0, 400.0], reached_rad_s=[300.0, 400.0, 800.0])
    assert (first.share_of_lowest, first.nearest_critical_rad_s, first.criticals_passed) == (0.75, 400.0, 0)
    assert (second.share_of_lowest, second.nearest_critical_rad_s, second.criticals_passed) == (1.0, 400.0, 1)
    assert (third.share_of_lowest, third.nearest_critical_rad_s, third.criticals_passed) == (2.0, 900.0, 1)

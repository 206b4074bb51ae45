"""Strength of the part in hand: what was measured on it replaces what a table says, and a proof test raises it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from beachmark.basis.draws import COUNT, FloatArray
from beachmark.basis.units import tidy
from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.train import Train
from beachmark.findings.asking import Asking
from beachmark.findings.ranges import drawn, spread
from beachmark.findings.results import Input
from beachmark.mechanics.band import Band
from beachmark.mechanics.measured_strength import (
    YIELD_RATIOS,
    HardnessScale,
    SteelClass,
    strength_used,
    tensile_from_hardness_pa,
    yield_from_tensile_pa,
)

_TUBES: tuple[SteelClass, ...] = ("drawn tube", "stress-relieved tube", "welded tube")
_RANK = {known: rank for rank, known in enumerate(Known)}  # best first
_GRID = 17  # places between the ends of a reading where the conversion is looked up
_BY_TABLE = "ASTM A370 (read) and ISO 18265 (from memory)"


@dataclass(frozen=True)
class Hardness:
    """A hardness reading of the material that carries, and what the steel may be."""

    name: str  # in the case file
    of: str  # the part, as sentences tell it
    value: Value
    scale: HardnessScale
    steels: tuple[SteelClass, ...]

    @property
    def words(self) -> str:
        """The reading as people write it."""
        return f"{tidy(self.value.si)} {self.scale}"


def tube_yield(asking: Asking, train: Train, number: int) -> Value | None:
    """Tensile yield stress of the tube of one shaft."""
    stated, name = train.shaft(number).tube.yield_stress, f"driveline.shafts[{number - 1}].tube.yield_stress"
    hard = _tube_hardness(train, number)
    return _asked(asking, name, "tube yield stress", stated, "tube_yield_stress", hard, tensile=False)


def tube_tensile(asking: Asking, train: Train, number: int) -> Value | None:
    """Tensile strength of the tube of one shaft: from its hardness, else from its stated yield, else typical."""
    stated, name = train.shaft(number).tube.yield_stress, f"driveline.shafts[{number - 1}].tube.tensile_strength"
    hard = _tube_hardness(train, number)
    if hard is None and stated is not None:
        ratios = _ratios(_classes_of(train.shaft(number).tube.material))
        ends = (stated.low / ratios.high, stated.si / ratios.nominal, stated.high / ratios.low)
        source = f"from its yield stress, yield over tensile {ratios.low:.2f} to {ratios.high:.2f}"
        found = Value(ends[1], ends[0], ends[2], "stress", _no_better(stated.known), source)
        return asking.take(name, "tensile strength of the tube", found)
    words = "tensile strength of the tube"
    return _asked(asking, name, words, None, "tube_tensile_strength", hard, tensile=True)


def stub_yield(asking: Asking, train: Train, number: int) -> Value | None:
    """Tensile yield stress of the splined stub of one shaft."""
    slip, name = train.shaft(number).slip, f"driveline.shafts[{number - 1}].slip"
    stated, reading = (slip.yield_stress, slip.hardness) if slip else (None, None)
    steels: tuple[SteelClass, ...] = ("quenched and tempered",)
    hard = Hardness(f"{name}.hardness", "stub", reading, "HRC", steels) if reading else None
    return _asked(
        asking, f"{name}.yield_stress", "yield stress of the stub", stated, "spline_yield_stress", hard, tensile=False
    )


def core_yield(asking: Asking, train: Train, number: int) -> Value | None:
    """Tensile yield stress of the core of one cross."""
    stated, name = train.joint(number).cross.yield_stress, f"driveline.joints[{number - 1}].cross.yield_stress"
    hard = _core_hardness(train, number)
    return _asked(asking, name, "core yield stress", stated, "cross_core_yield_stress", hard, tensile=False)


def core_tensile(asking: Asking, train: Train, number: int) -> Value | None:
    """Tensile strength at the arm root of one cross."""
    stated, name = train.joint(number).cross.tensile_strength, f"driveline.joints[{number - 1}].cross.tensile_strength"
    hard, words = _core_hardness(train, number), "tensile strength at the arm root"
    return _asked(asking, name, words, stated, "cross_tensile_strength", hard, tensile=True)


def known_of(asking: Asking, name: str) -> Known:
    """How a strength that was asked for is known: measured also where it was computed from a measured hardness."""
    found, part = asking.inputs[name].value, name.rpartition(".")[0]
    readings = [asking.inputs.get(f"{part}.{key}") for key in ("hardness", "core_hardness")]
    measured = any(one is not None and one.value.known is Known.MEASURED for one in readings)
    return Known.MEASURED if found.known is Known.COMPUTED and measured else found.known


def raised_by_proof(asking: Asking, name: str, proved: Value | None, capacity: Spread) -> Spread:
    """What a part bears, N m, at least as much as it bore in a proof test.

    The part must have been found sound after the test and must not have changed since.
    """
    borne = asking.take(f"{name}.proved_torque", "torque borne in a proof test", proved)
    if borne is None:
        return capacity
    return spread(lambda capacity: np.maximum(capacity, borne.low), capacity=capacity)


def _tube_hardness(train: Train, number: int) -> Hardness | None:
    tube, name = train.shaft(number).tube, f"driveline.shafts[{number - 1}].tube.hardness"
    return Hardness(name, "tube", tube.hardness, "HB", _classes_of(tube.material)) if tube.hardness else None


def _core_hardness(train: Train, number: int) -> Hardness | None:
    reading, name = train.joint(number).cross.core_hardness, f"driveline.joints[{number - 1}].cross.core_hardness"
    return Hardness(name, "core", reading, "HRC", ("case core",)) if reading else None


def _classes_of(material: str) -> tuple[SteelClass, ...]:
    """The class of tube that the case names, else all classes of tube."""
    named = tuple(steel for steel in _TUBES if steel == material.strip().lower())
    return named or _TUBES


def _ratios(steels: Sequence[SteelClass]) -> Band:
    """Yield over tensile strength of one of several classes of steel: the class in the middle is the likeliest."""
    bands = sorted((YIELD_RATIOS[steel] for steel in steels), key=lambda band: band.nominal)
    return Band(min(b.low for b in bands), bands[len(bands) // 2].nominal, max(b.high for b in bands))


def _asked(
    asking: Asking, name: str, words: str, stated: Value | None, typical: str, hard: Hardness | None, *, tensile: bool
) -> Value | None:
    """The strength as stated or by hardness, whichever is the better known, else typical."""
    if hard is None or _stated_first(stated, hard.value):
        return asking.need(name, words, stated, typical)
    usual = stated or asking.knowledge.typical.get(typical)
    try:
        band = _by_hardness(hard, tensile=tensile)
    except ValueError:
        refused = f"the hardness {hard.words} lies outside the conversion tables and was not used"
        noted = replace(usual, source=f"{usual.source}; {refused}".lstrip("; ")) if usual else None
        return asking.need(name, words, noted)
    reading = asking.take(hard.name, f"hardness of the {hard.of}", hard.value) or hard.value
    sample = _sample(asking, replace(hard, value=reading), tensile=tensile)
    known, source = _no_better(reading.known), _source(hard, band, usual)
    found = Value(band.nominal, band.low, band.high, "stress", known, source, sample=sample)
    asking.inputs[name] = Input(name, f"{words}, from its hardness", found)  # its draws are made: not drawn again
    return found


def _stated_first(stated: Value | None, hardness: Value) -> bool:
    """Whether a stated strength is better known than a hardness; measured on one part, the strength itself counts."""
    if stated is None:
        return False
    return stated.known is Known.MEASURED or _RANK[stated.known] < _RANK[hardness.known]


def _no_better(known: Known) -> Known:
    """How a strength is known that was computed from what is known so: at best as computed."""
    return max(Known.COMPUTED, known, key=_RANK.__getitem__)


def _by_hardness(hard: Hardness, *, tensile: bool) -> Band:
    """Tensile or yield strength by the hardness. Raises ValueError outside the tables."""
    reading = Band(hard.value.low, hard.value.si, hard.value.high)
    strength = tensile_from_hardness_pa(hardness=reading, scale=hard.scale)
    if tensile:
        return strength
    yields = [yield_from_tensile_pa(tensile_pa=strength, steel=steel) for steel in hard.steels]
    middle = sorted(band.nominal for band in yields)[len(yields) // 2]
    return Band(min(band.low for band in yields), middle, max(band.high for band in yields))


def _sample(asking: Asking, hard: Hardness, *, tensile: bool) -> FloatArray:
    """Draws of a strength from those of the reading; what the tables leave open is the same for yield and tensile."""
    value = hard.value
    places = np.unique([*np.linspace(value.low, value.high, _GRID), value.si])
    strengths = [tensile_from_hardness_pa(hardness=Band.exactly(float(at)), scale=hard.scale) for at in places]
    middle = tensile_from_hardness_pa(hardness=Band.exactly(value.si), scale=hard.scale)
    table = _open(asking, f"{hard.name} by table", middle.scaled(1 / middle.nominal))
    of_reading = value.si if value.sample is None else value.sample
    ends = _by_hardness(hard, tensile=True)
    sample: FloatArray = np.interp(of_reading, places, [one.nominal for one in strengths]) * table
    sample = np.clip(sample, ends.low, ends.high)
    return sample if tensile else sample * _open(asking, f"{hard.name} yield over tensile", _ratios(hard.steels))


def _open(asking: Asking, key: str, band: Band) -> FloatArray:
    """Draws of what a conversion leaves open: no input of the case, told with the strength that it widens."""
    value = Value(band.nominal, band.low, band.high, "number", Known.ASSUMED)
    sample = drawn(value, asking.columns.setdefault(key, len(asking.columns))).sample
    return np.full(COUNT, band.nominal) if sample is None else sample


def _source(hard: Hardness, band: Band, usual: Value | None) -> str:
    """Where the band comes from; a band that misses what was stated or is typical is a finding of its own."""
    told = f"hardness {hard.words} by {_BY_TABLE}"
    if usual is None:
        return told
    inside = strength_used(tabulated_pa=Band(usual.low, usual.si, usual.high), measured_pa=band).inside_table
    expected = f"{tidy(usual.low / 1e6)} to {tidy(usual.high / 1e6)} MPa"
    return told if inside else f"{told}; it misses what was expected ({expected}): steel, treatment or reading is wrong"

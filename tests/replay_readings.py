"""A small reading of a replay, made by hand: what pages, pictures and paper are tested with."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.positions import Address
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent, Reading, Told
from beachmark.findings.replay.record import History, InputRecord, PartRecord, Record
from beachmark.findings.results import Input, Quantity, Sum

# event -> title, chance, middle of the greatest torque [kN m]
EVENTS = {
    "clutch_dropped": ("Clutch closed at once", 0.46, 21.0),
    "spin_then_grip": ("Wheels spin, then grip", 0.24, 17.5),
    "rocking_out": ("Rocked out of a hole", 0.12, 15.0),
    "rolling_back_engaged": ("Drive taken up while rolling back", 0.08, 14.0),
    "reverse_dropped": ("Reverse taken up at once", 0.04, -16.0),
    "kerb_or_rut": ("Driven wheels against a kerb or into a rut", 0.03, 12.5),
    "hard_brake_engaged": ("Hard braking with the drive engaged", 0.02, -9.0),
    "full_throttle_launch": ("Launch at full throttle", 0.006, 11.0),
    "steady_pull": ("Steady pull in a low gear", 0.004, 9.0),
    "overspeed_downshift": ("Shifted down at too high a speed", 0.0, -4.0),
    "retarder_shock": ("Retarder taken up at once", 0.0, -3.0),
    "power_take_off_shock": ("Power take-off loaded at once", 0.0, 2.0),
}
# kind, number -> torque at first yield [kN m], known of this vehicle
BEARS = {"cross": (17.0, True), "tube": (26.0, True), "slip": (21.0, False)}
_REACH = (0.8, 1.0, 1.25)
STEADY_KNM = 12.0
OVER = 1.4  # torque at fracture over that at first yield
SENTENCE = (
    "This truck could have broken the cross of joint 2 in one blow, if the clutch closed at once: a sound one yields "
    "there; left with less than 88 % of its strength it would have broken."
)


def band(middle: float, *, reach: tuple[float, float, float] = _REACH) -> Band:
    low, centre, high = (middle * share for share in reach)
    return Band(low, centre, high)


def part_in_event(kind: str, number: int, peak_knm: float) -> PartInEvent:
    bears, known = BEARS[kind]
    unit = {"cross": f"joint-{number}", "tube": f"shaft-{number}", "slip": f"shaft-{number}/slip"}[kind]
    words = {"cross": f"cross of joint {number}", "tube": f"tube of shaft {number}", "slip": f"slip of shaft {number}"}
    peak = abs(peak_knm) * (1 + 0.03 * (number - 1))
    used = band(peak / bears)
    return PartInEvent(
        part=f"{kind}@{unit}",
        words=words[kind],
        at=unit,
        peak_nm=band(1e3 * peak),
        over_steady=band(peak / STEADY_KNM),
        used=used,
        breaks_below=band(peak / bears / OVER),
        yields=1.0 if used.low > 1 else 0.0 if used.high < 1 else 0.5,
        breaks=0.3 if used.middle > 1.2 else 0.0,
        first=0.2 if kind == "cross" else 0.05,
        pull=1.0 if peak_knm > 0 else 0.0,
        known=known,
        because="" if known else "the hardness of the stub's core",
    )


def history(peak_knm: float, loads: int) -> History:
    times = np.linspace(0.0, 1.2, 301)
    swing = np.where(times > 0.1, 1 - np.exp(-5 * (times - 0.1)) * np.cos(2 * np.pi * 4.5 * (times - 0.1)), 0.0)
    rows = np.array([[1e3 * peak_knm / 1.6 * (1 + 0.03 * n) * swing for n in range(loads)]])
    return History(times, np.concatenate([rows, 1.5 * rows]))


def event_reading(id: str, *, shafts: int = 2) -> EventReading:
    title, chance, peak = EVENTS[id]
    found: list[PartInEvent] = []
    for number in range(1, shafts + 2):
        found.append(part_in_event("cross", number, peak))
        if number <= shafts:
            found += [part_in_event("tube", number, peak), part_in_event("slip", number, peak)]
    loads = ("gearbox", *(f"joint {number}" for number in range(1, shafts + 2)), "half shafts", "tyre")
    return EventReading(
        id=id,
        title=title,
        story=f"A story of {title.lower()}. It is told in two sentences.",
        draws=1000,
        sound=1.0 if id != "rocking_out" else 0.993,
        parts=tuple(found),
        chance=chance,
        by_account=1 / len(EVENTS),
        told=(Told("pulling away: clutch working", 0.9), Told("the cross of joint 2 broke first", 0.4)),
        history=history(peak, len(loads)),
        loads=loads,
        typical_deviation=2e-5,
        worst_deviation=0.004,
        step_s=1.2e-4,
        gear=band(9.0),
        friction=band(0.7),
    )


BRACKET = Sum(
    id="sum.replay_bracket",
    title="Torque that survivors and yielded parts allow",
    at=Address("joint", 2),
    inputs=(
        Input("driveline.joints[1].cross.trunnion_diameter", "arm diameter", Value.exact(0.033, "length")),
        Input("vehicle.engine.peak_torque", "greatest engine torque", Value.exact(1900.0, "torque")),
        Input("pinion_drag", "drag of the pinion", Value(0.5, 0.2, 0.9, "number", Known.ASSUMED, "from memory")),
    ),
    results=(Quantity("least torque that twisted the tube", Spread(16e3, 14e3, 18e3), "torque"),),
    sentence="The tube of shaft 1 stayed straight, the cross yielded: between 14 and 25 kN m.",
    method="survivors and yielded parts bracket the torque",
    source="derived here",
)


def small_reading(*, events: int = 6, shafts: int = 2, stale: str = "", judged: bool = True) -> Reading:
    """The first so many events on a driveline of so many shafts."""
    found = tuple(event_reading(id, shafts=shafts) for id in list(EVENTS)[:events])
    if not judged:
        found = tuple(replace(one, typical_deviation=None, worst_deviation=None) for one in found)
    return Reading(
        events=found,
        other=0.1,
        about="cross@joint-2",
        sentence=SENTENCE,
        sums=(),
        bracket=BRACKET,
        position_bits=0.3,
        event_bits=1.9,
        position_words="Where it broke tells little of the event here: 0.3 of 1.9 bits.",
        wanted=("hardness of the core of the cross of joint 2", "tyre marks where the driven wheels stood"),
        notes=("left and right wheels of an axle are taken together; their differential stays open",),
        stale=stale,
        seed=1,
        draws=1000,
        versions=(("model", "1"), ("beachmark", "0.1.0"), ("numba", "0.68.1"), ("scipy", "1.14")),
    )


def small_record(reading: Reading) -> Record:
    """What a replay would have left of the same: its inputs, and what its parts bear. It holds no events."""
    share = np.random.default_rng(3).triangular(0.9, 1.0, 1.15, 400)
    parts = []
    for part in reading.events[0].parts if reading.events else ():
        kind = part.part.partition("@")[0]
        yields = 1e3 * BEARS[kind][0] * share
        load = f"joint {part.at.partition('/')[0].rpartition('-')[2]}"
        parts.append(
            PartRecord(part.part, kind, part.at, part.words, load, yields, OVER * yields, part.known, part.because)
        )
    return Record(
        seed=reading.seed,
        draws=reading.draws,
        digest="none",
        versions=dict(reading.versions),
        loads=reading.events[0].loads if reading.events else (),
        parts=tuple(parts),
        inputs=INPUTS,
        notes=reading.notes,
        of_events=len(EVENTS),
        events=(),
    )


INPUTS = (
    InputRecord(
        "driveline.joints[1].cross.trunnion_diameter", "arm diameter", 0.033, 0.0328, 0.0332, "length", "measured",
        "calliper", False, np.zeros(0),
    ),
    InputRecord(
        "vehicle.engine.peak_torque", "greatest engine torque", 1900.0, 1900.0, 1900.0, "torque", "from a plate", "",
        False, np.zeros(0),
    ),
    InputRecord(
        "pinion_drag", "drag of the pinion", 0.5, 0.2, 0.9, "number", "assumed", "from memory", True, np.zeros(0),
    ),
)  # fmt: skip

"""How much each kind of evidence tells of the event, in bits, for four vehicles; how well simulated cases come back.

Recovering cases that the same model made is self-consistency, never validation. Run it with
.venv/bin/python scripts/replay_study.py; it writes docs/methods/replay_study.md and its figure. Seeds are fixed.
"""

from __future__ import annotations

import itertools
import math
import os
import sys
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import vl_convert

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.replay_vehicles import VEHICLES

from beachmark.cases.codec import read_case
from beachmark.driveline.positions import Address, parse_address
from beachmark.evidence.records import How, Observation, Sure
from beachmark.evidence.states import part_states
from beachmark.findings.replay.record import EventRecord, PartRecord, Reals, Record
from beachmark.findings.replay.running import Order, replay_case
from beachmark.findings.replay.weighing import SENSE, information, peak, shares, spoken
from beachmark.knowledge.chances import answer_chances
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.packaged import knowledge

OUT = Path(__file__).parent.parent / "docs" / "methods"
DRAWS, SEED, OTHER_SEED, CASES = 2000, 41, 97, 400
LEFT = (0.25, 0.9)  # share of strength left of the part that breaks in a simulated case
MISTAKE = 0.08  # share of answers in a simulated case that are any answer at all
BROKEN = {
    "cross": ("cross.broken", "two_opposite"),
    "tube": ("tube.state", "torn"),
    "slip": ("slip.state", "broken_across"),
}
WHOLE = {"cross": ("cross.bent", "true"), "tube": ("tube.state", "straight"), "slip": ("slip.twist", "straight")}
SET = {
    "cross": ("cross.bent", "bent_one_way"),
    "tube": ("tube.state", "spiral_buckle"),
    "slip": ("slip.twist", "strong"),
}
WORDS = {
    "event.doing": "what it was doing", "event.gear": "gear", "event.speed": "road speed", "event.slope": "slope",
    "event.grip": "surface", "event.tyre_marks": "tyre marks", "event.control_record": "stored faults",
    "nb.clutch": "state of the clutch", SENSE: "sense of twist", "place": "which part is nearest to its limit",
    "broke": "whether a sound part breaks", "weak": "whether one at 60 % strength breaks", "set": "which parts are set",
}  # fmt: skip


@dataclass(frozen=True)
class Study:
    """What was found for one vehicle."""

    name: str
    whole: float  # bits that there are
    bits: Mapping[str, float]
    right: Mapping[str, float]  # share of simulated cases whose event is named first, by kind of evidence
    lost: Mapping[str, float]  # bits still open on the event after the evidence
    calibration: tuple[tuple[float, float, int], ...]  # mean chance told, share that was so, count


def main() -> None:
    """Run, print, write."""
    studies = [study(name) for name in VEHICLES]
    page = written(studies)
    OUT.joinpath("replay_study.md").write_text(page, encoding="utf-8")
    OUT.joinpath("replay_study.svg").write_text(drawn(studies), encoding="utf-8")
    print(page)


def study(name: str) -> Study:
    """One vehicle in all its events."""
    one, other = (_record(name, seed) for seed in (SEED, OTHER_SEED))
    right, lost, pairs = recovered(one, other)
    return Study(name, math.log2(len(one.events)), _bits(knowledge(), one), right, lost, _calibrated(pairs))


def _record(name: str, seed: int) -> Record:
    case = read_case(f"beachmark_case: 1\ntitle: {name}\n{VEHICLES[name]}", name="x.yaml", knowledge=knowledge())
    with tempfile.TemporaryDirectory() as folder:
        return replay_case(
            knowledge(),
            case.vehicle,
            case.installed(),
            order=Order(draws=DRAWS, seed=seed),
            cache_folder=folder,
            threads=os.cpu_count() or 1,
        )


# ---- bits -----------------------------------------------------------------------------------------------------


def _bits(known: Knowledge, record: Record) -> dict[str, float]:
    """Mutual information of the event with each kind of evidence, events equally likely."""
    asked = {see for event in record.events for see in known.events[event.event].leaves} - {SENSE}
    found = {see: _from_table(known, record, see) for see in asked}
    found[SENSE] = information(np.array([_senses(event) for event in record.events]))
    used = {event.event: _used(record, event) for event in record.events}
    found["place"] = information(np.array([_counts(rows.argmax(axis=0), len(rows)) for rows in used.values()]))
    found["broke"] = information(
        np.array([_counts((rows.max(axis=0) >= 1.0).astype(int), 2) for rows in used.values()])
    )
    found["weak"] = information(np.array([_counts((rows.max(axis=0) >= 0.6).astype(int), 2) for rows in used.values()]))
    found["set"] = information(np.array([_sets(record, event) for event in record.events]))
    return found


def _from_table(known: Knowledge, record: Record, see: str) -> float:
    """From the tables of expectations: judgement, not physics."""
    tables = [known.events[event.event].leaves.get(see, {}) for event in record.events]
    rows = np.array([answer_chances(known, known.questions[see], table) for table in tables])
    mixed = (1.0 - MISTAKE) * rows + MISTAKE / rows.shape[1]
    return information(mixed * 1e9)


def _used(record: Record, event: EventRecord) -> Reals:
    """Load over fracture, (parts, draws)."""
    return np.stack([(peak(record, event, part) / part.breaks_nm)[event.sound] for part in record.parts])


def _senses(event: EventRecord) -> Reals:
    pull = event.greatest[event.sound, 1] >= -event.least[event.sound, 1]
    return _counts(pull.astype(int), 2)


def _sets(record: Record, event: EventRecord) -> Reals:
    """How many parts are beyond yield."""
    over = [(peak(record, event, part) >= part.yields_nm)[event.sound] for part in record.parts]
    return _counts(np.minimum(np.sum(over, axis=0), 3), 4)


def _counts(classes: Reals, count: int) -> Reals:
    return np.bincount(classes, minlength=count).astype(float)


# ---- simulated cases ------------------------------------------------------------------------------------------


def recovered(record: Record, other: Record) -> tuple[dict[str, float], dict[str, float], list[tuple[float, bool]]]:
    """Cases made from draws of another seed, read with this one."""
    chance = np.random.default_rng([SEED, OTHER_SEED])
    cases = [_case(chance, other) for _ in range(CASES)]
    right, lost, pairs = {}, {}, []
    for kind in ("what was told", "the parts", "everything"):
        told = [(truth, _posterior(record, seen, kind)) for truth, seen in cases]
        right[kind] = float(np.mean([chances.argmax() == truth for truth, chances in told]))
        lost[kind] = float(np.mean([-math.log2(max(chances[truth], 1e-12)) for truth, chances in told]))
        if kind == "everything":
            pairs = [(float(share), number == truth) for truth, chances in told for number, share in enumerate(chances)]
    return right, lost, pairs


def _posterior(record: Record, seen: tuple[Observation, ...], kind: str) -> Reals:
    said = spoken(knowledge(), record, seen, part_states(seen))
    scene = {words for one in said if one.by_account for words in [one.words] if not words.startswith("Twisted")}
    chosen = [one for one in said if kind == "everything" or (one.words in scene) == (kind == "what was told")]
    return shares([one.weights for one in chosen], len(record.events))


def _case(chance: np.random.Generator, record: Record) -> tuple[int, tuple[Observation, ...]]:
    """One invented case: the number of its event, and what was seen of it."""
    while True:
        number = int(chance.integers(len(record.events)))
        event = record.events[number]
        draw = int(chance.choice(np.flatnonzero(event.sound)))
        parts = _parts(chance, record, event, draw)
        if parts:
            return number, (*_scene(chance, event), *parts, *_sense(event, draw, chance))


def _scene(chance: np.random.Generator, event: EventRecord) -> list[Observation]:
    """Answers drawn from the event's tables; each question was asked in two cases of three."""
    known, found = knowledge(), []
    for see, table in known.events[event.event].leaves.items():
        if see == SENSE or chance.random() > 2 / 3:
            continue
        question = known.questions[see]
        weights = answer_chances(known, question, table)
        weights = (1.0 - MISTAKE) * weights + MISTAKE / len(weights)
        found.append(_seen(see, str(chance.choice(list(question.answers), p=weights / weights.sum()))))
    return found


def _parts(chance: np.random.Generator, record: Record, event: EventRecord, draw: int) -> list[Observation]:
    """One part, weakened before, broke; the others are set or unmarked. Nothing if it did not break."""
    broken = int(chance.integers(len(record.parts)))
    left = chance.uniform(*LEFT)
    first = record.parts[broken]
    load, limit = _at(record, event, first, draw), left * first.breaks_nm[draw]
    if load < limit:
        return []
    held = limit / load
    found = [_state(first, BROKEN)]
    for part in record.parts:
        if part is not first and chance.random() < 2 / 3:
            found.append(_state(part, SET if held * _at(record, event, part, draw) >= part.yields_nm[draw] else WHOLE))
    return found


def _at(record: Record, event: EventRecord, part: PartRecord, draw: int) -> float:
    return float(peak(record, event, part)[draw])


def _state(part: PartRecord, table: Mapping[str, tuple[str, str]]) -> Observation:
    see, answer = table[part.kind]
    return _seen(see, answer, at=parse_address(part.at))


def _sense(event: EventRecord, draw: int, chance: np.random.Generator) -> list[Observation]:
    """The sense of twist, told in one case of three, one in twelve of them wrong."""
    if chance.random() > 1 / 3:
        return []
    pull = (event.greatest[draw, 1] >= -event.least[draw, 1]) != (chance.random() < 1 / 12)
    return [_seen(SENSE, "pull" if pull else "overrun")]


def _seen(see: str, answer: str, at: Address | None = None) -> Observation:
    return Observation(see, (answer,), at, how=How.EYE, sure=Sure.FAIRLY)


def _calibrated(pairs: list[tuple[float, bool]]) -> tuple[tuple[float, float, int], ...]:
    """Chances told against how often it was so, in classes."""
    edges, found = (0.0, 0.05, 0.2, 0.4, 0.6, 0.8, 1.01), []
    for low, high in itertools.pairwise(edges):
        inside = [pair for pair in pairs if low <= pair[0] < high]
        if inside:
            told, so = np.mean([share for share, _ in inside]), np.mean([was for _, was in inside])
            found.append((float(told), float(so), len(inside)))
    return tuple(found)


# ---- page and figure ------------------------------------------------------------------------------------------


def written(studies: list[Study]) -> str:
    """The page: made by this script, not by hand."""
    kinds = sorted(studies[0].bits, key=lambda kind: -studies[0].bits[kind])
    lines = [
        "# What tells the events of a replay apart",
        "",
        f"Made by `scripts/replay_study.py`: {DRAWS} draws of each event, seed {SEED}; four invented vehicles of "
        "`tests/replay_vehicles.py`.",
        "",
        "## Bits that each kind of evidence carries on the event",
        "",
        "Mutual information with the event, all events equally likely. What was told comes from the tables of "
        f"expectations (judgement, {percent(MISTAKE)} of answers anything at all); sense, place, breaks and sets come "
        "from the physics of each vehicle.",
        "",
        f"| evidence | {' | '.join(one.name for one in studies)} |",
        f"|---|{'---:|' * len(studies)}",
        *(f"| {WORDS[kind]} | {' | '.join(f'{one.bits[kind]:.2f}' for one in studies)} |" for kind in kinds),
        f"| **there are** | {' | '.join(f'**{one.whole:.2f}**' for one in studies)} |",
        "",
        "![bits by evidence and vehicle](replay_study.svg)",
        "",
        "## Simulated cases read back: self-consistency, not validation",
        "",
        f"{CASES} cases of each vehicle: an event, a draw of another seed ({OTHER_SEED}), one part that breaks with "
        f"{percent(LEFT[0])} to {percent(LEFT[1])} of its strength left, the others set or unmarked, two of three "
        "questions asked. The same model made and read them: this shows that the reading is right, not the model.",
        "",
        "| vehicle | evidence | event named first | bits still open |",
        "|---|---|---:|---:|",
    ]
    for one in studies:
        lines += [f"| {one.name} | {kind} | {percent(one.right[kind])} | {one.lost[kind]:.2f} |" for kind in one.right]
        lines.append(f"| {one.name} | nothing (chance) | {percent(2**-one.whole)} | {one.whole:.2f} |")
    lines += ["", "Calibration, all vehicles together: chance told against how often it was so.", ""]
    lines += ["| chance told | was so | count |", "|---:|---:|---:|"]
    lines += [f"| {percent(told)} | {percent(so)} | {count} |" for told, so, count in _together(studies)]
    return "\n".join(lines) + "\n"


def percent(share: float) -> str:
    """`34 %`, as the house writes it."""
    return f"{100 * share:.0f} %"


def _together(studies: list[Study]) -> list[tuple[float, float, int]]:
    """Classes of all vehicles, weighed by count."""
    classes: dict[int, list[tuple[float, float, int]]] = {}
    for one in studies:
        for row in one.calibration:
            classes.setdefault(int(np.searchsorted((0.05, 0.2, 0.4, 0.6, 0.8), row[0])), []).append(row)
    found = []
    for _, rows in sorted(classes.items()):
        counts = np.array([row[2] for row in rows])
        told, so = (float(np.average([row[n] for row in rows], weights=counts)) for n in (0, 1))
        found.append((told, so, int(counts.sum())))
    return found


def drawn(studies: list[Study]) -> str:
    """The bits as points, one colour and shape for each vehicle."""
    order = [WORDS[kind] for kind in sorted(studies[0].bits, key=lambda kind: -studies[0].bits[kind])]
    rows = [
        {"evidence": WORDS[kind], "bits": bits, "vehicle": one.name}
        for one in studies
        for kind, bits in one.bits.items()
    ]
    channel = {"field": "vehicle", "type": "nominal", "title": "vehicle"}
    spec = {
        "data": {"values": rows},
        "width": 420,
        "height": {"step": 22},
        "mark": {"type": "point", "filled": True, "size": 70, "opacity": 0.85},
        "encoding": {
            "x": {"field": "bits", "type": "quantitative", "title": "bits on the event"},
            "y": {"field": "evidence", "type": "nominal", "sort": order, "title": None},
            "color": {**channel, "scale": {"range": ["#1b5e8a", "#b5651d", "#3d7a3d", "#6b4c8a"]}},
            "shape": channel,
        },
        "config": {"font": "sans-serif", "view": {"stroke": None}},
    }
    return vl_convert.vegalite_to_svg(spec)


if __name__ == "__main__":
    main()

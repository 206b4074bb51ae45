"""The documented object of a replay: what each event does to each part, and how well it fits what was seen."""

from __future__ import annotations

from typing import Any

from beachmark.findings.replay.reading import Band, EventReading, PartInEvent, Reading
from beachmark.findings.replay.record import InputRecord, Record
from beachmark.workflow.objects import Plain, si_unit, sum_object

VERSION = 1


def replay_object(case: Plain, reading: Reading, record: Record) -> Plain:
    """The object of `beachmark replay`."""
    return {
        "object": "beachmark.replay",
        "version": VERSION,
        "case": case,
        "stale": reading.stale or None,
        "sentence": reading.sentence,
        "events": [_event(one) for one in reading.events],
        "sums": [sum_object(one) for one in reading.sums],
        "bracket": sum_object(reading.bracket) if reading.bracket else None,
        "none_of_these": reading.other,
        "position_bits": reading.position_bits,
        "event_bits": reading.event_bits,
        "position_words": reading.position_words,
        "wanted": list(reading.wanted),
        "notes": list(reading.notes),
        "inputs": [_input(one) for one in record.inputs],
        "seed": reading.seed,
        "draws": reading.draws,
        "versions": dict(reading.versions),
    }


def _event(one: EventReading) -> Plain:
    return {
        "id": one.id,
        "title": one.title,
        "story": one.story,
        "draws": one.draws,
        "sound": one.sound,
        "chance": one.chance,
        "chance_by_account": one.by_account,
        "told": [{"words": told.words, "weight": told.weight} for told in one.told],
        "gear": _band(one.gear, "1"),
        "friction": _band(one.friction, "1"),
        "step": {"value": one.step_s, "unit": "s"},
        "referee": _referee(one),
        "parts": [_part(part) for part in one.parts],
    }


def _referee(one: EventReading) -> Plain | None:
    if one.typical_deviation is None and one.worst_deviation is None:
        return None
    return {"typical_deviation": one.typical_deviation, "worst_deviation": one.worst_deviation}


def _part(one: PartInEvent) -> Plain:
    return {
        "part": one.part,
        "position": one.at,
        "words": one.words,
        "peak": _band(one.peak_nm, "N m"),
        "over_steady": _band(one.over_steady, "1"),
        "used": _band(one.used, "1"),
        "breaks_below": _band(one.breaks_below, "1"),
        "yields": one.yields,
        "breaks": one.breaks,
        "first": one.first,
        "pull": one.pull,
        "known": one.known,
        "because": one.because,
    }


def _band(band: Band, unit: str) -> dict[str, Any]:
    return {"low": band.low, "middle": band.middle, "high": band.high, "unit": unit}


def _input(one: InputRecord) -> Plain:
    return {
        "name": one.name,
        "words": one.words,
        "value": one.si,
        "low": one.low,
        "high": one.high,
        "unit": si_unit(one.dimension),
        "known": one.known,
        "source": one.source,
    }

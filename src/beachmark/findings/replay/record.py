"""What a replay leaves: the peaks of every draw in every event, so that new evidence is read without a new run."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt

Reals = npt.NDArray[np.float64]
FORMAT = 2


@dataclass(frozen=True)
class History:
    """Loads over time of the typical draw (first) and of the worst one (second)."""

    times_s: Reals
    loads: Reals  # (2, loads, times)


@dataclass(frozen=True)
class EventRecord:
    """One event in all its draws. Draw 0 is the typical one: every number at its nominal value."""

    event: str
    duration_s: float
    step_s: float
    greatest: Reals  # (draws, loads), as if nothing broke
    least: Reals
    steady_nm: Reals  # (draws,) least of what the engine gives in that gear and what the tyres hold
    gear: Reals  # (draws,) ratio, negative in reverse
    friction: Reals  # (draws,) of the ground that the tyres stand on in the end
    sound: npt.NDArray[np.bool_]  # (draws,) the computation did not go astray
    first: npt.NDArray[np.intp]  # (draws,) number of the part that breaks first, -1 for none
    worst: int  # the draw with the greatest load over capacity
    history: History
    deviation: Reals  # (2,) of the typical and of the worst draw, by the referee; not a number until it has judged


@dataclass(frozen=True)
class PartRecord:
    """A part whose load was followed, with what it bears in each draw of the vehicle."""

    id: str
    kind: str
    at: str
    words: str
    load: str
    yields_nm: Reals  # (draws,)
    breaks_nm: Reals
    known: bool
    because: str


@dataclass(frozen=True)
class InputRecord:
    """One number that the replay used, as shown."""

    name: str
    words: str
    si: float
    low: float
    high: float
    dimension: str
    known: str
    source: str
    assumed: bool
    draws: Reals  # (draws,), empty for an exact one


@dataclass(frozen=True)
class Record:
    """A whole replay of a case."""

    seed: int
    draws: int
    digest: str  # of vehicle, driveline and knowledge that it was made from
    versions: Mapping[str, str]
    loads: tuple[str, ...]
    parts: tuple[PartRecord, ...]
    inputs: tuple[InputRecord, ...]
    notes: tuple[str, ...]  # what was left out or taken in the vehicle's stead, in words
    of_events: int  # how many events the vehicle can meet
    events: tuple[EventRecord, ...]

    def load_number(self, name: str) -> int:
        """Number of a load by its name."""
        return self.loads.index(name)


_KINDS = {kind.__name__: kind for kind in (Record, EventRecord, PartRecord, InputRecord, History)}


def to_bytes(record: Record) -> bytes:
    """A record as one compressed block: a text with the arrays beside it, in single precision."""
    arrays: dict[str, Any] = {}
    text = json.dumps({"format": FORMAT, "record": _plain(record, arrays)})
    room = io.BytesIO()
    np.savez_compressed(room, text=np.frombuffer(text.encode(), dtype=np.uint8), **arrays)
    return room.getvalue()


def from_bytes(block: bytes) -> Record | None:
    """The record of a block; None if it was written in another format than today's."""
    with np.load(io.BytesIO(block), allow_pickle=False) as kept:
        plain = json.loads(kept["text"].tobytes().decode())
        if plain["format"] != FORMAT:
            return None
        record = _back(plain["record"], kept)
    return record if isinstance(record, Record) else None


def _plain(thing: Any, arrays: dict[str, Any]) -> Any:
    if isinstance(thing, np.ndarray):
        key = f"a{len(arrays)}"
        arrays[key] = thing.astype(np.float32) if thing.dtype == np.float64 else thing
        return {"array": key}
    if type(thing).__name__ in _KINDS:
        return {"as": type(thing).__name__} | {f.name: _plain(getattr(thing, f.name), arrays) for f in fields(thing)}
    if isinstance(thing, tuple):
        return {"tuple": [_plain(one, arrays) for one in thing]}
    if isinstance(thing, Mapping):
        return {"map": {key: _plain(value, arrays) for key, value in thing.items()}}
    return thing


def _back(plain: Any, arrays: Any) -> Any:
    if not isinstance(plain, dict):
        return plain
    if "array" in plain:
        found = arrays[plain["array"]]
        return found.astype(np.float64) if found.dtype == np.float32 else found
    if "tuple" in plain:
        return tuple(_back(one, arrays) for one in plain["tuple"])
    if "map" in plain:
        return {key: _back(value, arrays) for key, value in plain["map"].items()}
    kind = _KINDS[plain["as"]]
    return kind(**{key: _back(value, arrays) for key, value in plain.items() if key != "as"})

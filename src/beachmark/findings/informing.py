"""A sum that informs and does not weigh, and the sentence that it says of a result and its limit."""

from __future__ import annotations

from collections.abc import Sequence

from beachmark.basis.values import Spread
from beachmark.driveline.positions import Address
from beachmark.findings.asking import Asking
from beachmark.findings.results import HeldAgainst, Quantity, Sum
from beachmark.knowledge.model import Limit

_BOUND = "only one of engine path and tyre grip is known, so the load is an upper bound"
ACCUSES_NOTHING = f"Accuses nothing: {_BOUND}."


def informing(
    asking: Asking,
    *,
    id: str,
    title: str,
    at: Address,
    results: Sequence[Quantity],
    sentence: str,
    method: str,
    source: str,
    validity: str,
    limit: Limit | None = None,
    valid: bool = True,
) -> Sum:
    """A computed sum; its first result is the one that is drawn and held against the limit.

    A load that is only an upper bound can clear a part; it accuses nothing. That holds for results that are held
    against a limit of loads: whoever tells something that no load changes passes no limit.
    """
    if asking.only_a_bound:
        validity = f"{validity}; {_BOUND}"
        if limit is not None and results[0].spread.high >= limit.si:
            sentence = ACCUSES_NOTHING
    return Sum(
        id=id,
        title=title,
        at=at,
        inputs=tuple(asking.inputs.values()),
        missing=tuple(asking.missing),
        results=tuple(results),
        held_against=HeldAgainst(limit.words, limit.value) if limit else None,
        sentence=sentence,
        method=method,
        source=source,
        valid=valid,
        validity=validity,
    )


def side(found: Spread, limit: float, *, below: str, above: str, between: str) -> str:
    """One of three texts: the range lies below the limit, above it, or on both sides."""
    if found.high < limit:
        return below
    return above if found.low > limit else between

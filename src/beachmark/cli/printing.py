"""What the commands print for people: plain text, no colour needed."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Sequence
from typing import Any

import typer

from beachmark.basis.units import UNITS, tidy
from beachmark.workflow.fields import AskedBack
from beachmark.workflow.loading import Loaded

Plain = dict[str, Any]
ROUNDING = 1e-9  # smaller is what a sum leaves of zero
# unit of the screen -> the larger one, and from which SI number on; no part of a driveline is a kilometre long
_LARGE = {"mm": ("km", 1e3), "N m": ("kN m", 1e4), "N": ("kN", 1e4), "MPa": ("GPa", 1e10)}
_MARK = {"for": "+", "against": "-", "neither": "·"}


def _wide() -> int:
    return min(110, shutil.get_terminal_size((100, 24)).columns)


def say(text: str, indent: str = "", first: str | None = None) -> None:
    """Print a text wrapped to the window."""
    typer.echo(textwrap.fill(text, _wide(), initial_indent=first or indent, subsequent_indent=indent))


def print_check(loaded: Loaded, asked: Sequence[AskedBack]) -> None:
    """That a case reads well, and what is asked back about it."""
    typer.echo(f"{loaded.label}: no fault. {loaded.case.title}")
    _print_asked_back(asked)


def _print_asked_back(asked: Sequence[AskedBack]) -> None:
    if asked:
        typer.echo("Asked back (nothing was refused):")
    for one in asked:
        source = f" [{one.source}]" if one.source else ""
        say(f"{one.name}: {one.question}{source}", indent="    ", first="  ")


def print_sums(loaded: Loaded, found: Plain, asked: Sequence[AskedBack] = ()) -> None:
    """What is asked back, the sums by the question that they answer, then what is missing for the others."""
    typer.echo(f"{loaded.case.title}\n")
    if asked:
        _print_asked_back(asked)
        typer.echo("")
    done = [one for one in found["sums"] if one["computed"]]
    for topic in dict.fromkeys(one["topic"] for one in done):
        typer.echo(f"{topic}\n{'-' * len(topic)}")
        for one in done:
            if one["topic"] == topic:
                _print_sum(one)
    lacking = [one for one in found["sums"] if not one["computed"]]
    if lacking:
        typer.echo("Not computed, because something is missing:")
        for one in lacking:
            words = "; ".join(dict.fromkeys(lack["words"] for lack in one["missing"]))
            say(f"{one['title']} ({one['place']}): {words}", indent="    ", first="  ")


def _shown_unit(unit: str, size: float) -> tuple[str, float]:
    """The unit that people read, with its SI factor: the first of its dimension, a larger one for large numbers."""
    found = next((units for units in UNITS.values() if unit != "1" and units.get(unit) == 1.0), {"": 1.0})
    word, factor = next(iter(found.items()))
    large, least = _LARGE.get(word, ("", 0.0))
    if large and size >= least:
        word, factor = large, UNITS["distance"][large] if large == "km" else found[large]
    return (f" {word}" if word else ""), factor


def _print_sum(one: Plain) -> None:
    typer.echo(f"{one['title']} — {one['place']}")
    for number, result in enumerate(one["results"]):
        typer.echo(f"    {result['words']}: {with_band(result)}")
        if number == 0 and result["widened_by"]:
            say(f"its range: {result['widened_by']['words']}", indent="      ")
    _print_limit(one["held_against"])
    _print_method(one)
    if one["sentence"]:
        weighs = f" [speaks {one['speaks']}]" if one["id"].startswith("finding.") else ""
        say(f"{one['sentence']}{weighs}", indent="    ")
    typer.echo("")


def with_band(result: Plain) -> str:
    """A value with its unit and its range."""
    unit, factor = _shown_unit(result["unit"], max(abs(result[key]) for key in ("value", "low", "high")))
    low, high = tidy(result["low"] / factor), tidy(result["high"] / factor)
    value = result["value"] / factor if abs(result["value"]) > ROUNDING else 0.0
    return f"{tidy(value)}{unit}" + ("" if low == high else f"  ({low} to {high}{unit})")


def _print_limit(limit: Plain | None) -> None:
    if limit:
        say(f"held against {with_band(limit)}: {limit['words']}", indent="      ", first="    ")
        say(f"source of the limit: {limit['source'] or 'none given'}", indent="      ", first="    ")


def _print_method(one: Plain) -> None:
    if not one["method"]:
        return
    say(f"method: {one['method']}; source: {one['source'] or 'none given'}", indent="      ", first="    ")
    kept = "within the range of the method" if one["valid"] else "OUTSIDE the range of the method"
    if one["validity"]:
        say(f"{kept}: {one['validity']}", indent="      ", first="    ")
    elif not one["valid"]:  # what is left out must not hide that the method was left
        say(kept, indent="      ", first="    ")


def print_weighing(found: Plain) -> None:
    """The opinion, the reasons, what is open and what to ask next."""
    first = found["causes"][0]
    typer.echo(found["case"]["title"])
    typer.echo("")
    label = "First cause" if found["parted"] is False else "First failure"
    say(f"{label:<16}{found['first_failure']['words']}", indent=" " * 16)
    say(f"Cause           {first['title']} — {first['strength']}", indent=" " * 16)
    say(f"Root cause      {_root(found['root_cause'])}", indent=" " * 16)
    for seen in found["consequences"]:
        say(f"Consequence     {seen['text']}", indent=" " * 16)
    typer.echo("\nWhy")
    for one in first["contributions"]:
        if one["counted"]:
            say(f"{one['evidence']} — {one['words']}", indent="    ", first=f"  {_MARK[one['side']]} ")
    _print_rivals(found["causes"][1:4])
    _print_open(found)


def _root(root: Plain) -> str:
    if not root["open"]:
        return str(root["title"])
    names = "; or ".join(candidate["title"] for candidate in root["candidates"])
    return f"open: {names}" if names else "open"


def _print_rivals(rivals: list[Plain]) -> None:
    typer.echo("\nAlso considered")
    for rival in rivals:
        lower = f": {rival['ranked_lower']}" if rival["ranked_lower"] else ""
        say(f"{rival['title']}{lower}", indent="    ", first="  ")


def _print_open(found: Plain) -> None:
    typer.echo("\nWould change our mind")
    for change in found["would_change"][:3]:
        say("; and ".join(answer["words"] for answer in change["all_of"]), indent="    ", first="  ")
    typer.echo("\nAsk next")
    for one in found["ask_next"][:6]:
        gate = "first: " if one["gate"] else ""
        place = "" if one["position"] is None else f" ({one['place']})"
        say(f"{gate}{one['question']}{place} — {one['because']}", indent="    ", first="  ")
    typer.echo("\nThe tool advises; a person decides and signs. Author's judgement, confirmed cases: 0.")

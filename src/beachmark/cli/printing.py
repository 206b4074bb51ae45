"""What the commands print for people: plain text, no colour needed."""

from __future__ import annotations

import shutil
import textwrap
from typing import Any

import typer

from beachmark.basis.units import UNITS, tidy
from beachmark.workflow.loading import Loaded

Plain = dict[str, Any]
ROUNDING = 1e-9  # smaller is what a sum leaves of zero
_MARK = {"for": "+", "against": "-", "neither": "·"}


def _wide() -> int:
    return min(110, shutil.get_terminal_size((100, 24)).columns)


def _say(text: str, indent: str = "", first: str | None = None) -> None:
    typer.echo(textwrap.fill(text, _wide(), initial_indent=first or indent, subsequent_indent=indent))


def print_sums(loaded: Loaded, found: Plain) -> None:
    """The sums, computed ones first, then what is missing for the others."""
    typer.echo(f"{loaded.case.title}\n")
    for one in found["sums"]:
        if one["computed"]:
            _print_sum(one)
    lacking = [one for one in found["sums"] if not one["computed"]]
    if lacking:
        typer.echo("Not computed, because something is missing:")
        for one in lacking:
            names = ", ".join(lack["name"] for lack in one["missing"])
            _say(f"{one['title']} ({one['place']}): {names}", indent="    ", first="  ")


def _shown_unit(unit: str) -> tuple[str, float]:
    """The unit that people read, with its SI factor: degrees and rpm for rad and rad/s."""
    shown = {"rad": ("deg", UNITS["angle"]["deg"]), "rad/s": ("rpm", UNITS["rotation"]["rpm"]), "1": ("", 1.0)}
    word, factor = shown.get(unit, (unit, 1.0))
    return (f" {word}" if word else ""), factor


def _print_sum(one: Plain) -> None:
    typer.echo(f"{one['title']} — {one['place']}")
    for result in one["results"]:
        unit, factor = _shown_unit(result["unit"])
        low, high = tidy(result["low"] / factor), tidy(result["high"] / factor)
        value = result["value"] / factor if abs(result["value"]) > ROUNDING else 0.0
        band = "" if low == high else f"  ({low} to {high}{unit})"
        typer.echo(f"    {result['words']}: {tidy(value)}{unit}{band}")
    if one["sentence"]:
        _say(f"{one['sentence']} [speaks {one['speaks']}]", indent="    ")
    typer.echo("")


def print_weighing(found: Plain) -> None:
    """The opinion, the reasons, what is open and what to ask next."""
    first = found["causes"][0]
    typer.echo(found["case"]["title"])
    typer.echo("")
    _say(f"First failure   {found['first_failure']['words']}", indent=" " * 16)
    _say(f"Cause           {first['title']} — {first['strength']}", indent=" " * 16)
    _say(f"Root cause      {_root(found['root_cause'])}", indent=" " * 16)
    for seen in found["consequences"]:
        _say(f"Consequence     {seen['text']}", indent=" " * 16)
    typer.echo("\nWhy")
    for one in first["contributions"]:
        if one["counted"]:
            _say(f"{one['evidence']} — {one['words']}", indent="    ", first=f"  {_MARK[one['side']]} ")
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
        _say(f"{rival['title']}{lower}", indent="    ", first="  ")


def _print_open(found: Plain) -> None:
    typer.echo("\nWould change our mind")
    for change in found["would_change"][:3]:
        _say("; and ".join(answer["words"] for answer in change["all_of"]), indent="    ", first="  ")
    typer.echo("\nAsk next")
    for one in found["ask_next"][:6]:
        gate = "first: " if one["gate"] else ""
        place = "" if one["position"] is None else f" ({one['place']})"
        _say(f"{gate}{one['question']}{place} — {one['because']}", indent="    ", first="  ")
    typer.echo("\nThe tool advises; a person decides and signs. Author's judgement, confirmed cases: 0.")

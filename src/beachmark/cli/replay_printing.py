"""What `beachmark replay` prints for people."""

from __future__ import annotations

from typing import Any

import typer

from beachmark.basis.units import tidy
from beachmark.cli.printing import say, with_band

Plain = dict[str, Any]
KILO = 1e3
DIGITS = 3  # of what so many draws say
ADVICE = (
    "A computed load under the assumptions of the draws, no proof of what happened. "
    "The tool advises; a person decides and signs."
)


def print_replay(found: Plain, *, kept: bool) -> None:
    """A table for each event, then what they tell together, and what to measure next."""
    typer.echo(found["case"]["title"])
    say(
        f"{found['draws']} draws of each event, seed {found['seed']}; a range holds nine draws in ten. "
        f"{'Kept with the case.' if kept else 'Kept nowhere: the case is a file.'}"
    )
    for event in found["events"]:
        _print_event(event)
    if found["events"]:
        typer.echo("")
        say(f"None of these, or no single event: {100 * found['none_of_these']:.0f} of 100")
    _print_together(found)
    _print_list("Measure or ask next", found["wanted"])
    _print_list("Notes", found["notes"])
    typer.echo("")
    say(ADVICE)


def _print_event(event: Plain) -> None:
    title = f"{event['title']}: fits {100 * event['chance']:.0f} of 100"
    typer.echo(f"\n{title}\n{'-' * len(title)}")
    _row("gear", f"{_band(event['gear'])} : 1")
    if event["parts"]:
        _print_part(_most_loaded(event["parts"]))
        _row("breaks a sound part", _breaks(event["parts"]))
    if event["sound"] < 1.0:
        _row("went astray", f"{_percent(1.0 - event['sound'])} of the draws, left out")
    _row("peaks by the referee", _referee(event["referee"]))


def _most_loaded(parts: list[Plain]) -> Plain:
    """The part with the greatest load over what it bears, in the middle of its draws."""
    return max(parts, key=lambda part: float(part["used"]["middle"]))


def _print_part(part: Plain) -> None:
    _row("most loaded", part["words"])
    _row("peak torque", f"{_band(part['peak'], KILO)} kN m")
    _row("over steady", _band(part["over_steady"]))
    assumed = "" if part["known"] else f"; what it bears is assumed, not known: {part['because']}"
    _row("load over capacity", f"{_band(part['used'])}{assumed}")


def _breaks(parts: list[Plain]) -> str:
    """In how many draws anything breaks, and what breaks first in most of them."""
    share = sum(part["first"] for part in parts)
    first = max(parts, key=lambda part: float(part["first"]))
    return f"{_percent(share)} of the draws" + (f"; first: {first['words']}" if first["first"] else "")


def _referee(judged: Plain | None) -> str:
    if judged is None:
        return "not checked"
    words = {"typical_deviation": "typical draw", "worst_deviation": "worst draw"}
    told = [f"{_percent(judged[key])} off in the {name}" for key, name in words.items() if judged[key] is not None]
    return "; ".join(told)


def _print_together(found: Plain) -> None:
    typer.echo("\nTogether")
    if found["stale"]:
        say(found["stale"], indent="  ")
    say(found["sentence"], indent="  ")
    if found["position_words"]:
        say(found["position_words"], indent="  ")
    bracket = found["bracket"]
    for result in bracket["results"] if bracket else ():
        say(f"{result['words']}: {with_band(result)}", indent="    ", first="  ")


def _print_list(heading: str, lines: list[str]) -> None:
    if lines:
        typer.echo(f"\n{heading}")
    for line in lines:
        say(line, indent="    ", first="  ")


def _row(name: str, text: str) -> None:
    say(f"{name:<22}{text}", indent=" " * 24, first="  ")


def _band(band: Plain, factor: float = 1.0) -> str:
    low, middle, high = (tidy(band[key] / factor, DIGITS) for key in ("low", "middle", "high"))
    return middle if low == high else f"{middle} ({low} to {high})"


def _percent(share: float) -> str:
    """A share in percent, never rounded to none or to all."""
    percent = 100.0 * share
    if 0.0 < percent < 0.01:
        return "less than 0.01 %"
    return f"{tidy(min(percent, 99.9) if percent < 100.0 else 100.0, 3 if percent > 1.0 else 2)} %"

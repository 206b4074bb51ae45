"""The equations of a layout as lines of text, with the constants they use; ``source`` makes programs of them.

In the lines, freedom n has angle qn, speed wn and acceleration an; slip state n is zn and grows by dzn; constant n is
cn; load n is Tn; t is the time; h the step. ``lo``, ``hi``, ``mag``, ``pick`` and ``rint`` are least, greatest,
magnitude, choice and rounding. Names of parts never get into the text: trains alike but for names share a program.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.train import Layout

Values = Mapping[str, FloatArray]
Make = Callable[[Values], FloatArray]


@dataclass
class Sheet:
    """Lines gathered part by part.

    ``rates`` lead from state to loads and accelerations; ``moves`` carry the slip states over a step (their speeds
    at the half step are whn); ``powers`` are the work done on the train, the loss in springs and drags, then the loss
    in each slipping part; ``stored`` are terms of the energy in springs; ``carries`` are rates whose value at the last
    step (y0, y1 ...) is kept; ``capacities`` are one over the load that a part can bear.
    """

    layout: Layout
    constants: list[Make] = field(default_factory=list)
    rates: list[str] = field(default_factory=list)
    moves: list[str] = field(default_factory=list)
    carries: list[str] = field(default_factory=list)
    pushes: dict[int, list[str]] = field(default_factory=dict)
    loads: dict[str, str] = field(default_factory=dict)
    capacities: dict[str, str] = field(default_factory=dict)
    slips: list[str] = field(default_factory=list)
    work: list[str] = field(default_factory=list)
    damped: list[str] = field(default_factory=list)
    losses: dict[str, str] = field(default_factory=dict)
    stored: list[str] = field(default_factory=list)
    _known: dict[str, str] = field(default_factory=dict)
    _fresh: int = 0

    def constant(self, key: str, make: Make | None = None) -> str:
        """Symbol of a constant: the parameter of that name, or what is made of the parameters."""
        if key not in self._known:
            self._known[key] = f"c{len(self.constants)}"
            self.constants.append(make or (lambda values: values[key]))
        return self._known[key]

    def line(self, expression: str) -> str:
        """Write a line that computes an expression, and return its symbol."""
        symbol = f"x{self._fresh}"
        self._fresh += 1
        self.rates.append(f"{symbol} = {expression}")
        return symbol

    def load(self, name: str, expression: str) -> str:
        """Write the line of the load of a part, and return its symbol."""
        symbol = f"T{len(self.loads)}"
        self.rates.append(f"{symbol} = {expression}")
        self.loads[name] = symbol
        return symbol

    def slip(self) -> str:
        """Symbol of a new slip state."""
        symbol = f"z{len(self.slips)}"
        self.slips.append(symbol)
        return symbol

    def push(self, freedom: str, term: str) -> None:
        """Add a torque or force, with its sign, to what accelerates a freedom."""
        self.pushes.setdefault(self.layout.place[freedom], []).append(term)

    def carried(self, symbol: str) -> str:
        """Symbol of a rate's value at the half step ahead, carried on from this step and the last one."""
        self.carries.append(symbol)
        return f"hi(0.0, 1.5*{symbol} - 0.5*y{len(self.carries) - 1})"

    def constant_rows(self, values: Values) -> FloatArray:
        """Values of all constants, one row each, for all draws."""
        count = len(next(iter(values.values())))
        rows = [np.broadcast_to(make(values), (count,)) for make in self.constants]
        return np.array(rows).reshape(len(rows), count)


def inverse_of(key: str) -> Make:
    """One over a parameter."""
    return lambda values: 1.0 / values[key]


def quotient(top: str, bottom: str) -> Make:
    """One parameter over another."""
    return lambda values: values[top] / values[bottom]


def difference(left: str, right: str) -> Make:
    """One parameter less another."""
    return lambda values: values[left] - values[right]


def inverse_or_zero(values: FloatArray) -> FloatArray:
    """One over each value, 0 where it is 0 or without bound."""
    with np.errstate(divide="ignore"):
        inverse: FloatArray = np.where(values == 0, 0.0, 1.0 / values)
    return inverse

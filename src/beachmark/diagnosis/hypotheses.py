"""Which causes at which places are weighed, and how any place relates to them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from beachmark.driveline.positions import Address, Layout, relation
from beachmark.knowledge.model import Cause, Knowledge

Reals = npt.NDArray[np.float64]
NOT_IN_LIST = "not_in_list"


@dataclass(frozen=True)
class Hypothesis:
    """A cause at a place; `cause=None` is "something that is not in the list"."""

    cause: Cause | None
    at: Address

    @property
    def id(self) -> str:
        """Id of the cause."""
        return self.cause.id if self.cause else NOT_IN_LIST


class Field:
    """All hypotheses of one layout, with what is worked out once: priors and powers by place."""

    def __init__(self, knowledge: Knowledge, layout: Layout):
        self.knowledge = knowledge
        self.layout = layout
        self.hypotheses = (*_listed(knowledge, layout), Hypothesis(None, Address("case")))
        self.causes = tuple(dict.fromkeys(h.id for h in self.hypotheses))
        self._powers: dict[Address | None, Reals] = {}

    @cached_property
    def cause_index(self) -> npt.NDArray[np.int64]:
        """For each hypothesis the index of its cause in `causes`."""
        order = {cause: i for i, cause in enumerate(self.causes)}
        return np.array([order[h.id] for h in self.hypotheses])

    @cached_property
    def members(self) -> dict[str, npt.NDArray[np.int64]]:
        """For each cause the indices of its hypotheses."""
        return {cause: np.flatnonzero(self.cause_index == i) for i, cause in enumerate(self.causes)}

    @cached_property
    def log_prior(self) -> Reals:
        """Prior of each hypothesis: how common the cause is, shared over its places."""
        scales = self.knowledge.scales
        weight = np.array([scales.priors[h.cause.how_common] if h.cause else 0.0 for h in self.hypotheses])
        places = np.bincount(self.cause_index)[self.cause_index]
        listed = weight / places
        prior = (1.0 - scales.not_in_list) * listed / listed.sum()
        prior[-1] = scales.not_in_list
        return np.asarray(np.log(prior))

    def powers(self, at: Address | None) -> Reals:
        """Power with which each hypothesis' table holds for something seen at `at`."""
        if at not in self._powers:
            self._powers[at] = np.array([self._power(h, at) for h in self.hypotheses])
        return self._powers[at]

    def _power(self, hypothesis: Hypothesis, at: Address | None) -> float:
        if hypothesis.cause is None:
            return 0.0
        related = relation(at, hypothesis.at)
        default = self.knowledge.scales.relations[related.value]
        return hypothesis.cause.elsewhere.get(related.value, default)

    @cached_property
    def _membership(self) -> Reals:
        """(hypotheses, causes) 1 where a hypothesis belongs to a cause."""
        return np.eye(len(self.causes))[self.cause_index]

    def shares(self, posterior: Reals) -> Reals:
        """Posterior summed over the places of each cause; last axis hypotheses -> causes."""
        return np.asarray(posterior @ self._membership)


def _listed(knowledge: Knowledge, layout: Layout) -> list[Hypothesis]:
    return [Hypothesis(cause, at) for cause in knowledge.causes.values() for at in layout.places(cause.place)]

"""Dependence groups, priors, posterior over cause and place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from beachmark.diagnosis.hypotheses import NOT_IN_LIST, Field, Hypothesis, Reals
from beachmark.diagnosis.items import Item
from beachmark.diagnosis.likelihood import Tables
from beachmark.diagnosis.parting import parted_by
from beachmark.driveline.positions import Address
from beachmark.knowledge.model import ExplainsNothing, Question

Rows = npt.NDArray[np.int64]
PLACE_SHARE = 0.5  # a place is named when it holds at least half of its cause


def together(weights: Reals) -> Reals:
    """Joint weight of items that tell the same story: the strongest for plus the strongest against.

    `weights` has the items on the first axis. A copy of a finding therefore changes nothing.
    """
    if not len(weights):
        return np.zeros(weights.shape[1:])
    return np.asarray(np.maximum(weights.max(axis=0), 0.0) + np.minimum(weights.min(axis=0), 0.0))


@dataclass(frozen=True)
class Belief:
    """What is believed after the evidence. Arrays run over `field.hypotheses` (last axis)."""

    field: Field
    tables: Tables
    items: tuple[Item, ...]
    weights: Reals  # (items, hypotheses), each item alone
    by_group: dict[str, Reals]  # joint weight of each dependence group
    log_posterior: Reals
    idle: Mapping[str, Reals]  # group -> share of what it says for each hypothesis that counts

    @cached_property
    def posterior(self) -> Reals:
        """Share of each hypothesis; adds to one."""
        return np.asarray(np.exp(self.log_posterior))

    @cached_property
    def shares(self) -> dict[str, float]:
        """Share of each cause, summed over its places, greatest first."""
        shares = self.field.shares(self.posterior)
        order = np.argsort(-shares, kind="stable")
        return {self.field.causes[i]: float(shares[i]) for i in order}

    @cached_property
    def lead(self) -> str:
        """The leading cause of those that are listed."""
        return next(cause for cause in self.shares if cause != NOT_IN_LIST)

    @cached_property
    def lead_place(self) -> Address | None:
        """The place of the leading cause, or None while it is not known."""
        return self.place(self.lead)

    @cached_property
    def group_rows(self) -> dict[str, Rows]:
        """The indices of the items of each dependence group."""
        return group_rows(self.items)

    @cached_property
    def parted(self) -> bool | None:
        """Whether anything broke or came off; None while nobody said."""
        return parted_by(self.field.knowledge, self.items)

    def answer_weights(self, question: Question, at: Address | None, mistake: float) -> Reals:
        """(answers, hypotheses) weight that each answer would have here."""
        return counting(self.tables.answer_weights(question, at, mistake).T, self.idle.get(question.group))

    def turns(self, item: Item) -> bool:
        """True when the answer of an item decides whether other items count."""
        return bool(_triggered(self.field, item))

    def with_items(self, items: Sequence[Item]) -> Belief:
        """What would be believed of other items."""
        return believe(self.field, self.tables, items)

    def index(self, cause: str) -> int:
        """Index of the likeliest hypothesis of one cause."""
        mine = self.field.members[cause]
        return int(mine[np.argmax(self.log_posterior[mine])])

    def best(self, cause: str) -> Hypothesis:
        """The likeliest place of one cause."""
        return self.field.hypotheses[self.index(cause)]

    def place(self, cause: str) -> Address | None:
        """The smallest place that holds most of a cause's share; None when none does: not known yet."""
        mine = self.field.members[cause]
        share = self.posterior[mine] / self.posterior[mine].sum()
        best: Address = self.field.hypotheses[int(mine[int(np.argmax(share))])].at
        if len(mine) == 1 or share.max() >= PLACE_SHARE:
            return best
        together = [self.field.hypotheses[i].at.holder == best.holder for i in mine]
        return best.holder if share[together].sum() >= PLACE_SHARE else None


def believe(field: Field, tables: Tables, items: Sequence[Item]) -> Belief:
    """Weigh the items. No evidence gives back the prior."""
    weights, idle = weigh_items(tables, items, len(field.hypotheses)), idle_groups(field, items)
    for group, rows in group_rows(items).items():
        weights[rows] = counting(weights[rows], idle.get(group))
    by_group = {group: together(weights[rows]) for group, rows in group_rows(items).items()}
    return Belief(field, tables, tuple(items), weights, by_group, posterior(field, list(by_group.values())), idle)


def idle_groups(field: Field, items: Sequence[Item]) -> dict[str, Reals]:
    """For each group the share (0 to 1) of what it says for a hypothesis that counts, where any does not.

    A cause may be there and yet do nothing (yokes out of line where lining them up leaves the shaking). Then what
    only shows that it is there speaks for it no more; what speaks against it stays.
    """
    idle: dict[str, Reals] = {}
    for item in items:
        for cause, told in _triggered(field, item):
            mine = field.members[cause]
            share = sum(item.chances.get(answer, 0.0) for answer in told.answers)
            for group in told.groups:
                kept = idle.setdefault(group, np.ones(len(field.hypotheses)))
                kept[mine] *= 1.0 - share * field.powers(item.at)[mine]
    return idle


def _triggered(field: Field, item: Item) -> list[tuple[str, ExplainsNothing]]:
    causes = field.knowledge.causes.values()
    every = [(cause.id, told) for cause in causes for told in cause.explains_nothing if cause.id in field.members]
    return [(cause, told) for cause, told in every if told.see == item.question.id]


def counting(weights: Reals, kept: Reals | None) -> Reals:
    """Weights of a group with what is idle in it taken out of what speaks for."""
    return weights if kept is None else np.where(weights > 0, weights * kept, weights)


def weigh_items(tables: Tables, items: Sequence[Item], hypotheses: int) -> Reals:
    """(items, hypotheses) log weights of each item alone."""
    return np.array([tables.weights(item) for item in items]).reshape(len(items), hypotheses)


def group_rows(items: Sequence[Item]) -> dict[str, Rows]:
    """The indices of the items of each dependence group, in the order of appearance."""
    rows: dict[str, list[int]] = {}
    for i, item in enumerate(items):
        rows.setdefault(item.question.group, []).append(i)
    return {group: np.array(members) for group, members in rows.items()}


def posterior(field: Field, groups: Sequence[Reals]) -> Reals:
    """Normalised log posterior from the joint weights of the groups."""
    return normalised(field.log_prior + (np.sum(groups, axis=0) if len(groups) else 0.0))


def normalised(log_weights: Reals) -> Reals:
    """Log weights brought to a sum of one over the last axis."""
    top = log_weights.max(axis=-1, keepdims=True)
    return np.asarray(log_weights - top - np.log(np.exp(log_weights - top).sum(axis=-1, keepdims=True)))

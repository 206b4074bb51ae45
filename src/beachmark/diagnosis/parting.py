"""Whether anything broke or came off, by the evidence that was gathered."""

from __future__ import annotations

from collections.abc import Iterable

from beachmark.diagnosis.items import Item
from beachmark.knowledge.model import Knowledge
from beachmark.knowledge.parting import parted


def parted_by(knowledge: Knowledge, items: Iterable[Item]) -> bool | None:
    """The same from evidence in one form; what was computed or derived does not tell."""
    return parted(knowledge, ((item.question.id, item.answers) for item in items if item.kind == "seen"))

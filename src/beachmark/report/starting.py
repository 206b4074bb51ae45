"""What the first cause is called: where nothing broke or came off, nothing "failed first"."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.diagnosis.opinion import Opinion


@dataclass(frozen=True)
class StartWords:
    """The headings and sentence openings that speak of the first cause."""

    heading: str
    lead: str  # opens the sentence that names it
    unsettled: str
    not_listed: str
    flag: str  # at its place
    left: str  # heading of what followed
    follows: str  # of another cause
    clear: str  # why the neighbours are looked at
    report: str  # what the paper is
    mark: str  # kind of mark on the drawing


BROKEN = StartWords(
    heading="What broke first",
    lead="First to fail",
    unsettled="Not settled what failed first",
    not_listed="What failed first is not known",
    flag="first failure",
    left="What the first failure left elsewhere",
    follows="what speaks for it follows from the first failure",
    clear="Another part may have failed first or loaded this one; until these are answered it is not ruled out.",
    report="Driveline failure report",
    mark="first",
)


def start_words(opinion: Opinion) -> StartWords:
    """The words for a case: as above, unless somebody said that nothing broke or came off and nothing denies it."""
    return _whole("shake" if _shakes(opinion) else "fail") if opinion.parted is False else BROKEN


def _whole(does: str) -> StartWords:
    return StartWords(
        heading=f"What makes it {does}",
        lead=f"What makes it {does}",
        unsettled=f"Not settled what makes it {does}",
        not_listed=f"What makes it {does} is not known",
        flag="starts here",
        left="What it left elsewhere",
        follows="what speaks for it follows from the first cause",
        clear="Another part may be where it starts; until these are answered it is not ruled out.",
        report="Driveline report",
        mark="start",
    )


def _shakes(opinion: Opinion) -> bool:
    when = {answer for item in opinion.items if item.question.id == "event.shake_when" for answer in item.answers}
    return bool(when - {"no_shake"})

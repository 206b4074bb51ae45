"""The finding, the causes that were considered, what would change our mind, and how far it all can be trusted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beachmark.cases.assessment import Assessment
from beachmark.diagnosis.change import Change
from beachmark.diagnosis.explain import Contribution
from beachmark.diagnosis.items import Item
from beachmark.diagnosis.opinion import CauseOpinion, Opinion
from beachmark.driveline.positions import in_words
from beachmark.knowledge.model import Knowledge
from beachmark.report.document import (
    CauseView,
    ChangeLine,
    Considered,
    Finding,
    InputLine,
    Limits,
    Reason,
    Statement,
    StrengthRow,
)
from beachmark.report.starting import StartWords, start_words
from beachmark.report.words import References, capital, ended, listed, place_words, plain

RIVALS = 2
LEAST_CHANGES = 2
_RESTS_ON = 3
NOT_IN_LIST = "not_in_list"


@dataclass(frozen=True)
class Concluding:
    """What every part of the conclusions is made from."""

    assessment: Assessment
    knowledge: Knowledge
    references: References

    @property
    def opinion(self) -> Opinion:
        """The diagnosis of the case."""
        return self.assessment.opinion

    @property
    def known(self) -> bool:
        """True when something was recorded that can order the causes."""
        return bool(self.opinion.items)

    @property
    def settled(self) -> bool:
        """True when the evidence orders the causes and the first is on the list."""
        lowest = self.knowledge.scales.strengths[-1].word
        return self.known and self.opinion.first.cause is not None and self.opinion.first.strength.word != lowest

    @property
    def starting(self) -> StartWords:
        """What the first cause is called in this case."""
        return start_words(self.opinion)

    def statement(self, text: str, keys: Iterable[str], lead: str = "") -> Statement:
        """A sentence with its evidence."""
        evidence = tuple(dict.fromkeys(keys))
        return Statement(ended(plain(text)), evidence, self.references.of(evidence), lead)

    def key_in_words(self) -> Mapping[str, str]:
        """Keys of the items by their words, for parts of the diagnosis that carry words alone."""
        return {item.words: item.key for item in self.opinion.items}

    def supports(self, cause: CauseOpinion) -> tuple[str, ...]:
        """Keys of what speaks for a cause and counts, strongest first."""
        return tuple(one.item for one in cause.contributions if one.side == "for" and one.counted)


def finding(of: Concluding) -> Finding:
    """The finding in one paragraph, with the parts that it is made of."""
    first, root = of.opinion.first, of.opinion.root_cause
    questions = [of.knowledge.questions[question] for question in root.settle]
    return Finding(
        known=of.known,
        settled=of.settled,
        headline=_headline(of),
        strength=first.strength.word if of.known else "nothing known",
        strength_meaning=first.strength.meaning if of.known else "nothing was recorded that could order the causes",
        statements=_statements(of) if of.known else _nothing(of),
        rests_on=tuple(_reasons(of, first, "for")[:_RESTS_ON]) if of.known else (),
        root_title=root.root.title if root.root and of.known else "",
        root_candidates=tuple(candidate.root.title for candidate in root.candidates) if of.known else (),
        would_settle=tuple(question.question for question in questions) if of.known else (),
        consequences=_consequences(of) if of.known else (),
    )


def _headline(of: Concluding) -> str:
    first = of.opinion.first_failure
    if not of.known:
        return "Nothing is known yet about what failed first."
    if of.opinion.first.cause is None:
        return f"{of.starting.not_listed}: nothing in the list explains what was seen."
    if not of.settled:
        return f"{of.starting.unsettled}. Nearest so far: {ended(first.nearest)}"
    return f"{of.starting.lead}: {ended(first.words)}"


def _nothing(of: Concluding) -> tuple[Statement, ...]:
    gates = sum(1 for gate in of.opinion.gates if not gate.answered)
    return (
        Statement("Nothing was recorded that speaks for or against any cause, so this report names none."),
        Statement(f"The first step is to answer the {gates} questions that clear the neighbouring parts (section 8)."),
    )


def _statements(of: Concluding) -> tuple[Statement, ...]:
    first = of.opinion.first
    keys = of.supports(first) or tuple(item.key for item in of.opinion.items)
    strength = f"{capital(first.strength.word)}: {first.strength.meaning}"
    mechanism = f"{first.title}. {first.cause.mechanism}" if first.cause else "No cause in the list fits"
    return (
        of.statement(strength, keys),
        of.statement(mechanism, keys),
        _against(of),
        _root(of, keys),
        *_followed(of),
        _best_rival(of, keys),
    )


def _against(of: Concluding) -> Statement:
    against = [one for one in of.opinion.first.contributions if one.side == "against" and one.counted]
    if not against:
        keys = of.supports(of.opinion.first) or tuple(item.key for item in of.opinion.items)
        return of.statement("Nothing that was recorded speaks against it", keys)
    told = listed(one.evidence for one in against[:2])
    more = f" (and {len(against) - 2} more in section 5)" if len(against) > 2 else ""
    return of.statement(f"{told}{more}", (one.item for one in against), lead="Against it:")


def _root(of: Concluding, fallback: tuple[str, ...]) -> Statement:
    root, words = of.opinion.root_cause, of.key_in_words()
    because = [words[told] for candidate in root.candidates for told in candidate.because if told in words]
    keys = tuple(because) or fallback
    if root.root:
        return of.statement(root.root.title, keys, lead="What brought it about:")
    if not root.candidates:
        return of.statement("open", keys, lead="What brought it about:")
    titles = ", ".join(f"“{candidate.root.title}”" for candidate in root.candidates)
    questions = " ".join(f"“{of.knowledge.questions[question].question}”" for question in root.settle[:3])
    settle = f". To be settled by: {questions}" if questions else ""
    return of.statement(f"open; candidates: {titles}{settle}", keys, lead="What brought it about:")


def _followed(of: Concluding) -> tuple[Statement, ...]:
    if not of.opinion.consequences:
        return ()
    seen = list({one.text: one for one in of.opinion.consequences}.values())
    told = listed(one.text for one in seen[:3])
    keys = [one.item for one in of.opinion.consequences]
    return (of.statement(told, keys, lead="What followed, and is no cause:"),)


def _consequences(of: Concluding) -> tuple[Statement, ...]:
    return tuple(
        of.statement(f"{capital(one.text)} ({place_words(one.at)})", [one.item]) for one in of.opinion.consequences
    )


def _best_rival(of: Concluding, fallback: tuple[str, ...]) -> Statement:
    rival = next(cause for cause in of.opinion.causes[1:] if cause.cause)  # the list holds more than one cause
    lower = f". It ranks lower: {_lower_words(rival)}" if rival.ranked_lower else ""
    against = [one.item for one in rival.contributions if one.side == "against" and one.counted]
    return of.statement(f"{rival.title}{lower}", against or fallback, lead="Next best explanation:")


def _lower_words(cause: CauseOpinion) -> str:
    return cause.ranked_lower.rstrip(".")


def considered(of: Concluding) -> Considered:
    """The first cause, its two best rivals in full, the rest in a line each."""
    if not of.known:
        return Considered(None, (), (), (), _not_in_list(of))
    first, *rest = of.opinion.causes
    listed_rest = [cause for cause in rest if cause.cause]
    others = [cause for cause in listed_rest[RIVALS:] if cause.ranked_lower]
    far = [cause.title for cause in listed_rest[RIVALS:] if not cause.ranked_lower]
    return Considered(
        first=_view(of, first),
        rivals=tuple(_view(of, cause) for cause in listed_rest[:RIVALS]),
        others=tuple(_lower(of, cause, name=True) for cause in others),
        far_behind=tuple(far),
        not_in_list=_not_in_list(of),
    )


def _not_in_list(of: Concluding) -> Statement:
    told = next((cause.ranked_lower for cause in of.opinion.causes if cause.id == NOT_IN_LIST), "")
    if not of.known:
        return Statement("Something that is not in the list: always possible, and nothing has been recorded yet.")
    if of.opinion.first.id == NOT_IN_LIST:
        told = "it comes first here, because nothing in the list explains what was seen"
    keys = of.supports(of.opinion.first) or tuple(item.key for item in of.opinion.items)
    return of.statement(f"Something that is not in the list: {told}", keys)


def _view(of: Concluding, cause: CauseOpinion) -> CauseView:
    known = cause.cause
    return CauseView(
        id=cause.id,
        title=cause.title,
        place=in_words(cause.place) if cause.place else "place not known yet",
        mechanism=known.mechanism if known else "",
        speaks_for=_reasons(of, cause, "for"),
        speaks_against=_reasons(of, cause, "against"),
        silent=_silent(of, cause),
        ranked_lower=_lower(of, cause) if cause.ranked_lower else None,
        caution=known.caution if known else "",
        source=plain(known.source) if known else "",
    )


def _lower(of: Concluding, cause: CauseOpinion, *, name: bool = False) -> Statement:
    against = [one.item for one in cause.contributions if one.side == "against" and one.counted]
    keys = against or of.supports(of.opinion.first)
    after = f"; {of.starting.follows}" if cause.consequence_of_first else ""
    words = f"{_lower_words(cause)}{after}"
    return of.statement(f"{cause.title}: {words}" if name else f"Ranked lower: {words}", keys)


def _reasons(of: Concluding, cause: CauseOpinion, side: str) -> tuple[Reason, ...]:
    told = [one for one in cause.contributions if one.side == side]
    return tuple(_reason(of, one) for one in sorted(told, key=lambda one: (not one.counted, -abs(one.weight))))


def _reason(of: Concluding, one: Contribution) -> Reason:
    item = next(item for item in of.opinion.items if item.key == one.item)
    return Reason(
        ref=of.references.label(one.item),
        key=one.item,
        answer=answer_words(item),
        question=item.question.question,
        place=place_words(one.at) if one.at else "",
        strength=one.words.partition(":")[0],
        says=one.words,
        side=one.side,
        counted=one.counted,
        source=one.source,
    )


def answer_words(item: Item) -> str:
    """What an item says; of a sum that straddles a limit its likeliest answer."""
    told = item.answers[:1] if item.kind == "sum" else item.answers
    return " / ".join(item.question.answers[answer].text for answer in told)


def _silent(of: Concluding, cause: CauseOpinion) -> tuple[str, ...]:
    """What the cause predicts and nobody has answered, the most telling first."""
    if cause.cause is None:
        return ()
    open_ = [(see, cause.cause.expects[see]) for see in cause.unanswered]
    telling = sorted(open_, key=lambda pair: not ({"expected", "against"} & set(pair[1])))
    questions = [of.knowledge.questions[see] for see, _ in telling if not see.startswith("sign.")]
    return tuple(question.question.rstrip("?") for question in questions)


def would_change(of: Concluding) -> tuple[tuple[ChangeLine, ...], str]:
    """What would put another cause first, and a warning when fewer than two such things are known."""
    if not of.known:
        return (), "Nothing has been recorded, so any first answer may decide."
    titles = {cause.id: cause.title for cause in of.opinion.causes}
    told = tuple(
        ChangeLine(plain(change.words), titles.get(change.then_first, change.then_first))
        for change in _distinct(of.opinion.would_change)
    )
    if len(told) >= LEAST_CHANGES:
        return told, ""
    found = "no answer was" if not told else "only one was"
    return told, (
        f"Warning: {found} found that would put another cause first. Either the evidence is very one-sided or "
        "the list of causes is too short: let a second reader look for what was left out."
    )


def _distinct(changes: Iterable[Change]) -> list[Change]:
    """Every single answer, and of several answers together only the fewest for each cause that would follow."""
    single: dict[str, Change] = {}
    together: dict[str, Change] = {}
    for change in changes:
        if len(change.answers) == 1:
            single.setdefault(change.words, change)
        else:
            together.setdefault(change.then_first, change)
    followed = {change.then_first for change in single.values()}
    return [*single.values(), *(change for cause, change in together.items() if cause not in followed)]


def limits(of: Concluding, inputs: Iterable[InputLine]) -> Limits:
    """The strength scale, who judged, whether it holds without each item, and what was assumed."""
    here = of.opinion.first.strength.word if of.known else ""
    scale = tuple(StrengthRow(row.word, row.meaning, row.word == here) for row in of.knowledge.scales.strengths)
    return Limits(
        scale=scale,
        judgement=(
            "The words and the weights behind them are the authors' judgement; "
            f"confirmed cases so far: {of.opinion.confirmed_cases}."
        ),
        robustness=_robustness(of),
        assumed=tuple(given for given in inputs if given.assumed),
        notes=_notes(of),
    )


def _robustness(of: Concluding) -> str:
    found = of.opinion.robustness
    if not of.known:
        return "Nothing was recorded that could be left out."
    if found.holds:
        return f"Each of the {found.tried} items was left out in turn: the same cause stays first every time."
    tried = f"Each of the {found.tried} items was left out in turn"
    return ended(plain(f"{tried}: without “{found.weakest_item}” another cause comes first"))


def _notes(of: Concluding) -> tuple[str, ...]:
    case = of.assessment.case
    notes = [
        "What was not looked at counts neither for nor against anything.",
        "Who pays is not the question of this report.",
    ]
    if not case.layout_known:
        notes.append("Nobody has said how many shafts this driveline has; one shaft was taken.")
    return tuple(notes)

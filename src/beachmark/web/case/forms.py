"""What the forms of a case send."""

from __future__ import annotations

from dataclasses import dataclass, field

from starlette.datastructures import FormData

from beachmark.basis.errors import refuse
from beachmark.web.form_data import text_of, texts_of
from beachmark.workflow.keeping import Seen
from beachmark.workflow.places import ANSWERS_OF_NONE

LONGEST_NOTE = 4000
LONGEST_NAME = 80


@dataclass(frozen=True)
class Typed:
    """What somebody typed and what could not be taken: it stays in the form."""

    see: str = ""
    at: str = ""
    answers: tuple[str, ...] = ()
    by: str = ""
    how: str = ""
    when: str = ""
    sure: str = ""
    note: str = ""
    fields: dict[str, str] = field(default_factory=dict)
    known: str = ""
    source: str = ""


@dataclass(frozen=True)
class Asking:
    """How the questions of a page stand open: what was typed, who asks, which one was asked for."""

    typed: Typed = Typed()
    name: str = ""
    ask: str = ""


def typed_answer(form: FormData) -> Typed:
    """The answer to a question as it was sent."""
    return Typed(
        see=text_of(form, "see"),
        at=text_of(form, "at"),
        answers=texts_of(form, "answers"),
        by=text_of(form, "by"),
        how=text_of(form, "how"),
        when=text_of(form, "when"),
        sure=text_of(form, "sure"),
        note=text_of(form, "note"),
    )


def seen_of(typed: Typed) -> Seen:
    """The observation to be recorded. Raises `InputError` for what the form can see by itself."""
    if not typed.answers:
        allowed = "one of the answers, or “Not looked at”, or “Looked, cannot tell”"
        raise refuse("form", "answers", "no answer was chosen", allowed)
    if len(typed.answers) > 1 and any(answer in ANSWERS_OF_NONE for answer in typed.answers):
        allowed = "either answers, or one of “Not looked at” and “Looked, cannot tell”"
        raise refuse("form", "answers", "an answer stands beside “not looked at” or “cannot tell”", allowed)
    for name, text, most in (("note", typed.note, LONGEST_NOTE), ("by", typed.by, LONGEST_NAME)):
        if len(text) > most:
            raise refuse("form", name, f"the text holds {len(text)} letters", f"at most {most}")
    at = "" if typed.at == "case" else typed.at
    return Seen(
        see=typed.see, answers=typed.answers, at=at, by=typed.by, how=typed.how, when=typed.when,
        sure=typed.sure, note=typed.note,
    )  # fmt: skip


def typed_fields(form: FormData) -> Typed:
    """Fields as they were sent."""
    known, source = text_of(form, "known"), text_of(form, "source")
    fields = {name: value for name, value in form.items() if isinstance(value, str)}
    return Typed(fields=fields, known=known, source=source, by=text_of(form, "by"))

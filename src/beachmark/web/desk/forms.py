"""What the forms of the desk send."""

from __future__ import annotations

from starlette.datastructures import FormData, UploadFile

from beachmark.basis.errors import refuse
from beachmark.web.form_data import text_of

MOST_SHAFTS = 6


def new_case_fields(form: FormData) -> dict[str, str]:
    """What was typed for a new case."""
    return {name: text_of(form, name) for name in ("title", "reference", "shafts")}


def number_of_shafts(text: str) -> int:
    """How many shafts; 0 while nobody said. Raises `InputError`."""
    if text in ("", "0"):
        return 0
    if text not in [str(number) for number in range(1, MOST_SHAFTS + 1)]:
        raise refuse("new case", "shafts", f"{text[:40]!r} shafts", f"1 to {MOST_SHAFTS}, or not known yet")
    return int(text)


def case_file(form: FormData) -> tuple[str, bytes]:
    """Name and content of the file that was sent. Raises `InputError`."""
    sent = form.get("file")
    if not isinstance(sent, UploadFile) or not sent.filename:
        raise refuse("import", "file", "no file was chosen", "a case file, YAML or JSON")
    return sent.filename[-120:], sent.file.read()

"""A case by its number or from a file."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from beachmark.basis.documents import json_text
from beachmark.basis.errors import NotFoundError, refuse
from beachmark.cases.case import Case
from beachmark.cases.codec import read_case
from beachmark.findings.replay.record import Record
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.home import home_folder, open_store
from beachmark.workflow.kept_replay import kept_record
from beachmark.workflow.packaged import demo_text, knowledge

if TYPE_CHECKING:
    from beachmark.store.database import Store

LARGEST_FILE = 4_000_000  # bytes; a case file is text, pictures are not part of it


@dataclass(frozen=True)
class Loaded:
    """A case with where it came from; a case from a file has neither number nor revision, and no kept replay."""

    case: Case
    origin: str
    number: int | None = None
    revision: int | None = None
    changed: str = ""
    replay: Record | None = field(default=None, compare=False, repr=False)

    @property
    def label(self) -> str:
        """`case 3` or the file's name."""
        return f"case {self.number}" if self.number else self.origin


def load(reference: str, *, home: Path | None = None, revision: int | None = None) -> Loaded:
    """A case by its stored number or from a case file. Raises `InputError`, `NotFoundError`, `StoreError`."""
    if reference.isascii() and reference.isdigit() and len(reference) < 10:
        store = open_store(home_folder(home))
        try:
            return from_store(store, int(reference), revision=revision)
        finally:
            store.close()
    return from_file(Path(reference))


def from_store(store: Store, number: int, *, revision: int | None = None) -> Loaded:
    """A stored case at its current revision, or at another one, with the replay that is kept with it."""
    stored = store.get(number, revision)
    case = case_from_document(stored.document, name=f"case {number}")
    return Loaded(case, f"case {number}", number, stored.revision, stored.changed, kept_record(store, number))


def from_file(path: Path) -> Loaded:
    """A case from a YAML or JSON file; a catalogue that it names is looked for beside it."""
    text = read_text(path)

    def beside(reference: str) -> str:
        if "/" in reference or "\\" in reference or reference.startswith("."):
            raise LookupError("a catalogue is named by the name of a file beside the case file")
        found = path.parent / reference
        try:
            return read_text(found).decode("utf-8")
        except (NotFoundError, UnicodeDecodeError):
            return packaged_catalogue(reference)

    case = read_case(text, name=path.name, knowledge=knowledge(), catalogue_text=beside)
    return Loaded(case, path.name)


def packaged_catalogue(reference: str) -> str:
    """A catalogue that comes with the package. Raises `LookupError`."""
    text = demo_text(reference)
    if text is None:
        raise LookupError("there is no such file")
    return text


def read_text(path: Path) -> bytes:
    """The bytes of a text file of bearable size. Raises `NotFoundError` or `InputError`."""
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise NotFoundError(f"{path} is not a file")
        if size > LARGEST_FILE:
            allowed = f"at most {LARGEST_FILE / 1e6:.0f} MB; pictures are kept apart"
            raise refuse(path.name, "", f"the file holds {size / 1e6:.1f} MB", allowed)
        return path.read_bytes()
    except FileNotFoundError:
        raise NotFoundError(f"there is no file {path}; give a case file or the number of a stored case") from None
    except OSError as error:
        raise NotFoundError(f"{path} cannot be read: {error.strerror}") from None


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file whole or not at all. Raises `NotFoundError` when the place cannot be written."""
    part = path.with_name(path.name + ".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        part.write_bytes(content)
        part.replace(path)
    except OSError as error:
        raise NotFoundError(f"{path} cannot be written: {error.strerror}") from None


def case_from_text(text: str | bytes, *, name: str, known: Knowledge | None = None) -> Case:
    """A case from the text of a file that was sent; a catalogue is inside it or one of the package."""
    if len(text) > LARGEST_FILE:
        allowed = f"at most {LARGEST_FILE / 1e6:.0f} MB; pictures are kept apart"
        raise refuse(name, "", f"the file holds {len(text) / 1e6:.1f} MB", allowed)
    return read_case(text, name=name, knowledge=known or knowledge(), catalogue_text=packaged_catalogue)


def case_from_document(document: dict[str, Any], *, name: str) -> Case:
    """A case from its stored document, read as strictly as a file."""
    return case_from_text(json_text(document), name=name)

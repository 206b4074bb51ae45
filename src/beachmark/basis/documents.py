"""Strict reading of YAML or JSON text into plain data that remembers the line of every field.

Nothing clever is accepted: no aliases (they blow up), no tags, no duplicate keys, no NaN, no words that
turn into booleans by surprise (`no`, `off`), no clock times that turn into numbers (`4:30`).
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass, field
from typing import Any, cast

import yaml

from beachmark.basis.errors import Fault, InputError, refuse

LARGEST_TEXT = 4_000_000  # characters; a case with hundreds of observations is far below
DEEPEST = 40

Path = tuple[str | int, ...]

_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]*)\Z")
_REAL = re.compile(r"[-+]?([0-9]+\.[0-9]*|\.[0-9]+|[0-9]+(?=[eE]))([eE][-+]?[0-9]+)?\Z")
_NOT_FINITE = re.compile(r"[-+]?\.?(inf|infinity|nan)\Z", re.IGNORECASE)
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_SURROGATES = re.compile(r"((?<!\\)(?:\\\\)*)\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})")
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the C parser where it is built in


@dataclass
class Document:
    """Plain data with, for each path, the line where it stands."""

    name: str
    data: Any
    lines: dict[Path, int] = field(default_factory=dict)

    def line(self, path: Path) -> int | None:
        """Line of a path, or of the nearest thing that holds it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path)


def field_name(path: Path) -> str:
    """A path as a person would write it: `driveline.shafts[0].tube`."""
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def read_document(text: str | bytes, *, name: str) -> Document:
    """Read YAML or JSON text (JSON is read as the YAML that it is).

    Raises `InputError` with every duplicate key, alias, NaN or odd key, or with the one place where
    the text stops being YAML. `name` is the file name shown in the faults.
    """
    node = _compose(_decoded(text, name), name)
    document = Document(name=name, data=None)
    faults: list[Fault] = []
    document.data = _build(node, (), document, faults)
    if faults:
        raise InputError(faults)
    return document


def _decoded(text: str | bytes, name: str) -> str:
    if len(text) > LARGEST_TEXT:
        raise refuse(name, "", f"the text holds {len(text):,} characters", f"at most {LARGEST_TEXT:,} characters")
    if isinstance(text, str):
        return _paired(text)
    try:
        return _paired(text.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise refuse(name, "", f"byte {error.start} is not UTF-8 text", "a text file in UTF-8") from None


def _paired(text: str) -> str:
    """JSON may write one character as two surrogate escapes, which YAML does not know."""
    if not text.lstrip().startswith(("{", "[")):
        return text

    def join(match: re.Match[str]) -> str:
        high, low = int(match[2], 16), int(match[3], 16)
        return match[1] + chr(0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00))

    return _SURROGATES.sub(join, text)


def _compose(text: str, name: str) -> yaml.Node:
    loader = _Loader(text)
    try:
        _refuse_tricks(text, name)
        node: yaml.Node | None = loader.get_single_node()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        line = mark.line + 1 if mark else None
        problem = (error.problem or "cannot be read").replace("\t", "a tab")
        raise refuse(
            name,
            "",
            f"the text cannot be read here: {problem}",
            "YAML or JSON",
            line,
        ) from None
    except (yaml.YAMLError, RecursionError) as error:
        first = str(error).splitlines()[0]
        raise refuse(name, "", f"the text cannot be read: {first}", "YAML or JSON in UTF-8") from None
    finally:
        loader.dispose()
    if node is None:
        raise refuse(name, "", "the text is empty", "a document with fields")
    return node


def _refuse_tricks(text: str, name: str) -> None:
    """Refuse aliases, tags and great depth before anything is built from them."""
    depth = 0
    for event in yaml.parse(text, Loader=_Loader):
        line = event.start_mark.line + 1 if event.start_mark else None
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            raise refuse(name, "", "anchors and aliases (& and *) are not read", "plain values", line)
        tag = getattr(event, "tag", None)
        if tag and tag != "!":
            raise refuse(name, "", f"the tag {tag} is not read", "plain values without tags", line)
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        if depth > DEEPEST:
            raise refuse(name, "", f"nested more than {DEEPEST} deep", f"at most {DEEPEST} levels", line)


def _build(node: yaml.Node, path: Path, document: Document, faults: list[Fault]) -> Any:
    document.lines[path] = node.start_mark.line + 1
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, path, document, faults)
    if isinstance(node, yaml.SequenceNode):
        return [_build(child, (*path, i), document, faults) for i, child in enumerate(node.value)]
    return _scalar(cast(yaml.ScalarNode, node), path, document, faults)


def _mapping(node: yaml.MappingNode, path: Path, document: Document, faults: list[Fault]) -> dict[str, Any]:
    built: dict[str, Any] = {}
    for key_node, child in node.value:
        line = key_node.start_mark.line + 1
        if not isinstance(key_node, yaml.ScalarNode):
            faults.append(Fault(document.name, field_name(path), "a key is not a word", "a word", line))
            continue
        key = str(key_node.value)
        if key in built:
            wrong = f"the key {key!r} stands twice"
            faults.append(Fault(document.name, field_name((*path, key)), wrong, "each key once", line))
            continue
        built[key] = _build(child, (*path, key), document, faults)
        document.lines[(*path, key)] = line
    return built


def json_text(data: Any, *, indent: int | None = None) -> str:
    """Plain data as JSON that `read_document` takes back: what YAML cannot hold as it is, is escaped."""
    text = json.dumps(data, ensure_ascii=False, indent=indent)
    return _UNPRINTABLE.sub(lambda match: f"\\u{ord(match[0]):04x}", text)


def reads_as_text(text: str) -> bool:
    """True when a plain scalar of this text would be read back as text; else a writer must quote it."""
    special = text in ("", "~", "null", "true", "false")
    return not (special or _INTEGER.match(text) or _REAL.match(text) or _NOT_FINITE.match(text))


def _scalar(node: yaml.ScalarNode, path: Path, document: Document, faults: list[Fault]) -> Any:
    text = str(node.value)
    if node.style in ('"', "'", "|", ">"):
        return text
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if _INTEGER.match(text):
        return int(text) if len(text) < 30 else text
    if _NOT_FINITE.match(text):
        line = node.start_mark.line + 1
        faults.append(Fault(document.name, field_name(path), f"{text} is not a number", "a finite number", line))
        return None
    if _REAL.match(text):
        number = float(text)
        if math.isfinite(number):
            return number
        line = node.start_mark.line + 1
        faults.append(Fault(document.name, field_name(path), f"{text} is too large", "a finite number", line))
        return None
    return text

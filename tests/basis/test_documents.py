"""Strict reading: every trick of YAML is refused with its line, plain data comes through as typed."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.basis.documents import LARGEST_TEXT, read_document
from beachmark.basis.errors import InputError

BOMB = "a: &a [x, x]\n" + "".join(f"{c}: &{c} [*{p}, *{p}]\n" for p, c in zip("abcdefgh", "bcdefghi", strict=True))


@pytest.mark.parametrize(
    ("text", "says", "line"),
    [
        ("a: 1\nb: 2\na: 3\n", "stands twice", 3),
        ("a:\n  b: 1\n  b: 2\n", "stands twice", 3),
        (BOMB, "anchors and aliases", 1),
        ("a: .nan\n", "not a number", 1),
        ("a: [1, -.inf]\n", "not a number", 1),
        ("a: 1e999\n", "too large", 1),
        ("a: !!python/object/apply:os.system [ls]\n", "tag", 1),
        ("a: !important x\n", "tag", 1),
        ("? [1, 2]\n: x\n", "not a word", 1),
        ("a: [1, 2\n", "cannot be read", 2),
        ("a: b: c\n", "cannot be read", 1),
        ("\tx: 1\n", "cannot be read", 1),
        ("", "empty", None),
        ("# nothing\n", "empty", None),
        ("[" * 200 + "]" * 200, "deep", 1),
        ("x" * (LARGEST_TEXT + 1), "characters", None),
        (b"a: \xff\xfe", "UTF-8", None),
        ("a: \x07\n", "cannot be read", None),
    ],
)
def test_refusals(text: str | bytes, says: str, line: int | None) -> None:
    with pytest.raises(InputError) as refused:
        read_document(text, name="case.yaml")
    fault = refused.value.faults[0]
    assert says in fault.wrong
    assert fault.where == "case.yaml"
    if line is not None:
        assert fault.line == line


def test_every_duplicate_is_reported_at_once() -> None:
    with pytest.raises(InputError) as refused:
        read_document("a: 1\na: 2\nb: .nan\nc: 1\nc: 1\n", name="x")
    assert [fault.line for fault in refused.value.faults] == [2, 3, 5]


def test_words_stay_words() -> None:
    data = read_document("a: no\nb: off\nc: 4:30\nd: 2024-01-02\ne: 0123\nf: 1_000\ng: yes\n", name="x").data
    assert data == {"a": "no", "b": "off", "c": "4:30", "d": "2024-01-02", "e": "0123", "f": "1_000", "g": "yes"}


plain = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**12), 10**12) | st.text(max_size=20)
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(min_size=1, max_size=8), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@given(st.dictionaries(st.text(min_size=1, max_size=8), plain, max_size=4))
def test_json_comes_through_as_json(data: dict[str, object]) -> None:
    assert read_document(json.dumps(data), name="x").data == data


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        read_document(text, name="x")
    except InputError as error:
        refused = error
    else:
        return
    assert refused.faults

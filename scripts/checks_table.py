"""Writes docs/methods/checks.md from the register of external checks in tests/checks.

    .venv/bin/python scripts/checks_table.py

A test asserts that the page is current (tests/test_external_checks.py).
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from beachmark.basis.documents import read_document

ROOT = Path(__file__).parent.parent
REGISTER = ROOT / "tests" / "checks"
PAGE = ROOT / "docs" / "methods" / "checks.md"
HOW_KNOWN = {"read": "read", "memory": "from memory", "derived": "derived", "independent": "independent"}

INTRODUCTION = """\
# What the sums are checked against

Written by `scripts/checks_table.py` from the register in `tests/checks/`; not to be edited by hand.

Every public function of the mechanics is held against something outside the project. How the value is known:

- **read**: the source was read, and its own digits stand in the test;
- **from memory**: the source is named, its digits were remembered and not seen;
- **derived**: no printed value; worked out another way by hand, by identity, or with another program beforehand;
- **independent**: another library or another method computes it beside ours each time the tests run.

The inputs, the digits and the tolerance, argued, stand in the test itself. A check that was refused is listed with the
reason: it is not met, or nothing here computes it.

A gate (`tests/test_external_checks.py`) refuses the register if

- a public function has no test in `tests/literature/` (digits with their source) or `tests/references/` (another
  library or method) that really uses it: laws and hand sums in `tests/mechanics/` add to that, but never stand for it;
- a row called **independent** names no test in `tests/references/`;
- a row called **read** or **from memory**, or one called **derived** that names tests in `tests/literature/` only,
  names no test that says so of itself;
- a named test does not exist, asserts nothing, or does not use a function that its row names;
- this page is not what the register says.
"""


def register() -> dict[str, list[dict[str, Any]]]:
    """Rows of every file of the register, by the name of the file. A key that stands twice is refused."""
    paths = sorted(REGISTER.glob("*.yaml"))
    return {path.stem: read_document(path.read_text(encoding="utf-8"), name=path.name).data for path in paths}


def page(files: dict[str, list[dict[str, Any]]]) -> str:
    """The whole page."""
    rows = list(itertools.chain.from_iterable(files.values()))
    refused = [row for row in rows if "refused" in row]
    counts = ", ".join(
        f"{sum(row['known'] == known for row in rows if 'refused' not in row)} {words}"
        for known, words in HOW_KNOWN.items()
    )
    lines = [INTRODUCTION, f"{len(rows) - len(refused)} checks in use: {counts}. Refused: {len(refused)}.", ""]
    for name, entries in files.items():
        used = [row for row in entries if "refused" not in row]
        if used:
            lines += [f"## {name.replace('_', ' ').capitalize()}", "", *_used(used), ""]
    lines += ["## Refused", "", "| id | what | source | how known | why not |", "|---|---|---|---|---|"]
    lines += [_line(row["id"], row["what"], row["source"], HOW_KNOWN[row["known"]], row["refused"]) for row in refused]
    return "\n".join(lines) + "\n"


def _used(rows: list[dict[str, Any]]) -> Iterator[str]:
    yield "| id | what | source | how known | functions | where the test is |"
    yield "|---|---|---|---|---|---|"
    for row in rows:
        functions = ", ".join(f"`{name}`" for name in row["functions"])
        tests = "<br>".join(_link(test) for test in row["tests"])
        yield _line(row["id"], row["what"], row["source"], HOW_KNOWN[row["known"]], functions, tests)


def _link(test: str) -> str:
    """The test's name, linked to its file."""
    path, name = test.split("::")
    return f"[{name.removeprefix('test_')}](../../{path})"


def _line(*cells: str) -> str:
    return "| " + " | ".join(re.sub(r"\s+", " ", cell).strip().replace("|", "\\|") for cell in cells) + " |"


if __name__ == "__main__":
    PAGE.write_text(page(register()), encoding="utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}")

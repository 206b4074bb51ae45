"""The register of external checks: strict in form, true in what it names, and no public function without one.

How a row in tests/checks/*.yaml is read is in docs/methods/checks.md. A test counts for a function only if the
test, or what it calls within its own file, really uses that function of beachmark.mechanics.
"""

from __future__ import annotations

import ast
import functools
import importlib
import inspect
import pkgutil
import re
from pathlib import Path
from typing import Any

import pytest
from scripts.checks_table import HOW_KNOWN, PAGE, page, register

from beachmark import mechanics
from beachmark.mechanics import beam, replay
from tests.conftest import ROOT

FILES = register()
ROWS: list[dict[str, Any]] = [row for rows in FILES.values() for row in rows]
USED = [row for row in ROWS if "refused" not in row]
USED_KEYS = {"id", "what", "source", "known", "tests", "functions"}
REFUSED_KEYS = {"id", "what", "source", "known", "refused"}
# Where a test holds our numbers against something outside of them; tests/mechanics and tests/replay hold laws, hand
# sums and what needs the replay's own trains.
OUTSIDE = ("tests/literature/", "tests/references/")
# The checks that were set at the start; none of them may be lost.
LAST_OF_THE_START = {
    "J": 9,
    "A": 7,
    "W": 10,
    "B": 10,
    "K": 8,
    "T": 6,
    "D": 4,
    "V": 2,
    "F": 8,
    "U": 4,
    "L": 7,
    "O": 2,
    "M": 1,
}
FIRST_CHECKS = {f"{letter}{n:02}" for letter, last in LAST_OF_THE_START.items() for n in range(1, last + 1)} | {
    "A25", "A26", "A27", "A30",
}  # fmt: skip


def public_functions() -> set[str]:
    """Every public function of mechanics as module.function, those of beam and replay by their own lists."""
    modules = [
        importlib.import_module(f"{mechanics.__name__}.{info.name}")
        for info in pkgutil.iter_modules(mechanics.__path__)
        if not info.name.startswith("_")
    ]
    found = {
        f"{module.__name__.rsplit('.', 1)[1]}.{name}"
        for module in modules
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    for package in (beam, replay):
        listed = {name for name in package.__all__ if inspect.isfunction(getattr(package, name))}
        found |= {f"{package.__name__.rsplit('.', 1)[1]}.{name}" for name in listed}
    return found


class TestFile:
    """What the tests of one file reach, from its source alone."""

    __test__ = False

    def __init__(self, source: str) -> None:
        tree = ast.parse(source)
        self.imports: dict[str, str] = {}
        self.defined: dict[str, ast.AST] = {}
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                # "import a.b" binds a; "import a.b as c" binds c to a.b.
                for alias in node.names:
                    first = alias.name.split(".")[0]
                    self.imports[alias.asname or first] = alias.name if alias.asname else first
            elif isinstance(node, ast.ImportFrom):
                self.imports |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                self.defined[node.name] = node
            elif isinstance(node, ast.Assign | ast.AnnAssign):
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                names = {part.id for target in targets for part in ast.walk(target) if isinstance(part, ast.Name)}
                self.defined |= dict.fromkeys(names, node)

    def reached(self, test: str) -> list[ast.AST]:
        """The test and every definition of the file that it leads to, fixtures by the names of arguments too."""
        waiting, found = [test], dict[str, ast.AST]()
        while waiting:
            name = waiting.pop()
            if name in found or name not in self.defined:
                continue
            found[name] = self.defined[name]
            for node in ast.walk(found[name]):
                waiting += [node.id] if isinstance(node, ast.Name) else [node.arg] if isinstance(node, ast.arg) else []
        return list(found.values())

    def used(self, test: str) -> set[str]:
        """Functions of mechanics, as module.function, that the test reaches."""
        dotted = {self._dotted(node) for root in self.reached(test) for node in ast.walk(root)}
        prefix = f"{mechanics.__name__}."
        inner = [name.removeprefix(prefix).split(".") for name in dotted if name.startswith(prefix)]
        return {f"{parts[0]}.{parts[-1]}" for parts in inner if len(parts) > 1}

    def asserts(self, test: str) -> bool:
        """Whether the test asserts or expects a refusal, itself or through what it calls in its file."""
        nodes = [node for root in self.reached(test) for node in ast.walk(root)]
        return any(isinstance(node, ast.Assert) or self._dotted(node) == "pytest.raises" for node in nodes)

    def _dotted(self, node: ast.AST) -> str:
        """Full name behind a name or a chain of attributes; empty for anything else."""
        if isinstance(node, ast.Name):
            return self.imports.get(node.id, "")
        if isinstance(node, ast.Attribute) and (before := self._dotted(node.value)):
            return f"{before}.{node.attr}"
        return ""


@functools.cache
def test_file(path: str) -> TestFile:
    return TestFile((ROOT / path).read_text(encoding="utf-8"))


test_file.__test__ = False  # type: ignore[attr-defined]


def the_test(named: str) -> tuple[TestFile, str]:
    path, name = named.split("::")
    return test_file(path), name


def docstring(named: str) -> str:
    file, name = the_test(named)
    node = file.defined[name]
    assert isinstance(node, ast.FunctionDef)
    return ast.get_docstring(node) or ""


@pytest.mark.parametrize("name", FILES)
def test_every_row_has_the_keys_of_its_kind_and_nothing_else(name: str) -> None:
    assert isinstance(FILES[name], list), f"{name} is not a list of rows"
    for row in FILES[name]:
        keys = REFUSED_KEYS if "refused" in row else USED_KEYS
        assert set(row) == keys, f"{name}, {row.get('id')}: {sorted(set(row) ^ keys)}"
        assert re.fullmatch(r"[A-Z]{1,4}\d{2,3}", row["id"]), row["id"]
        assert row["known"] in HOW_KNOWN, f"{row['id']}: {row['known']}"
        texts = [row[key] for key in ("what", "source", "refused") if key in row]
        assert all(isinstance(text, str) and len(text.strip()) >= 5 for text in texts), row["id"]
        for key in {"tests", "functions"} & keys:
            assert row[key], f"{row['id']}: {key} is empty"
            assert len(set(row[key])) == len(row[key]), f"{row['id']}: {key} holds one twice"


def test_every_id_stands_once() -> None:
    ids = [row["id"] for row in ROWS]
    assert sorted(ids) == sorted(set(ids))


def test_no_check_of_the_start_is_lost() -> None:
    assert len(FIRST_CHECKS) == 82
    assert not FIRST_CHECKS - {row["id"] for row in ROWS}


@pytest.mark.parametrize("row", USED, ids=lambda row: row["id"])
def test_the_named_tests_exist_assert_and_use_the_named_functions(row: dict[str, Any]) -> None:
    used: set[str] = set()
    for named in row["tests"]:
        assert re.fullmatch(r"tests/(literature|references|mechanics|replay)/test_\w+\.py::test_\w+", named), named
        assert (ROOT / named.split("::")[0]).is_file(), f"{row['id']}: no file of {named}"
        file, name = the_test(named)
        assert isinstance(file.defined.get(name), ast.FunctionDef), f"{row['id']}: no test {named}"
        assert file.asserts(name), f"{row['id']}: {named} asserts nothing"
        reached = file.used(name) & set(row["functions"])
        assert reached, f"{row['id']}: {named} uses none of {row['functions']}"
        used |= reached
    assert used == set(row["functions"]), f"{row['id']}: no named test uses {set(row['functions']) - used}"


@pytest.mark.parametrize("row", USED, ids=lambda row: row["id"])
def test_how_it_is_known_is_borne_out_by_where_the_test_stands(row: dict[str, Any]) -> None:
    printed = [named for named in row["tests"] if named.startswith("tests/literature/")]
    if row["known"] == "independent":
        assert any(named.startswith("tests/references/") for named in row["tests"]), f"{row['id']}: no other method"
    elif row["known"] in ("read", "memory") or len(printed) == len(row["tests"]):
        words = {"read": r"Known: read", "memory": r"(?s)Known: .*from memory", "derived": r"(?s)Known: .*derived"}
        said = words[row["known"]]
        assert any(re.search(said, docstring(named)) for named in printed), f"{row['id']}: no test says {said!r}"


@pytest.mark.parametrize("row", [row for row in USED if row["id"] in FIRST_CHECKS], ids=lambda row: row["id"])
def test_the_digits_of_the_start_stand_in_literature_or_references(row: dict[str, Any]) -> None:
    assert any(named.startswith(OUTSIDE) for named in row["tests"])


def test_every_public_function_of_mechanics_has_an_external_check() -> None:
    checked = {name for row in USED for name in row["functions"]}
    public = public_functions()
    assert not public - checked, f"without a check in tests/checks: {sorted(public - checked)}"
    assert not checked - public, f"named in tests/checks, but no public function: {sorted(checked - public)}"


def used_outside_of_laws(rows: list[dict[str, Any]]) -> set[str]:
    """Functions that a row names and a test of it in literature or references really uses."""
    found: set[str] = set()
    for row in rows:
        for named in row["tests"]:
            if named.startswith(OUTSIDE):
                file, name = the_test(named)
                found |= file.used(name) & set(row["functions"])
    return found


def test_no_public_function_rests_on_laws_of_our_own_alone() -> None:
    """Identities in tests/mechanics hold a function against itself; each needs printed digits or another method too."""
    bare = public_functions() - used_outside_of_laws(USED)
    assert not bare, f"without a check in tests/literature or tests/references: {sorted(bare)}"


def test_a_row_of_laws_alone_would_not_pass_as_an_outside_check() -> None:
    """Take its outside rows away from a function that also has a row of laws, and the gate must name it."""
    name = "needle_load.load_band_from_dent"
    rows = [row for row in USED if name in row["functions"]]
    laws = [row for row in rows if not any(named.startswith(OUTSIDE) for named in row["tests"])]
    assert laws
    assert name in used_outside_of_laws(rows)
    assert name not in used_outside_of_laws(laws)


def test_the_page_of_checks_is_current() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(FILES), "run scripts/checks_table.py"


def test_no_test_is_linked_from_the_page_that_is_not_in_the_register() -> None:
    links = set(re.findall(r"\]\(\.\./\.\./(tests/[^)]+)\)", PAGE.read_text(encoding="utf-8")))
    assert links == {named.split("::")[0] for row in USED for named in row["tests"]}
    assert all(Path(ROOT, link).is_file() for link in links)


SAMPLE = """
from beachmark.mechanics import hooke, tube
from beachmark.mechanics.beam.line import cowper_shear_coefficient as shear
import beachmark.mechanics.chain
LIMIT = hooke.least_ratio(angle_rad=0.1)

def helper():
    return hooke.greatest_ratio(angle_rad=0.1)

def test_by_helper():
    assert helper() > LIMIT

def test_other(shear_yield_pa=1.0):
    # hooke.non_uniformity stands here in words only
    tube.yield_torque_nm(shear_yield_pa=1e8, outer_m=0.1)
    shear(outer_m=1.0, inner_m=0.0)
    beachmark.mechanics.chain.joint_angle(before=[1, 0, 0], after=[1, 0, 0])
"""


def test_a_function_counts_only_where_it_is_reached() -> None:
    sample = TestFile(SAMPLE)
    assert sample.used("test_by_helper") == {"hooke.greatest_ratio", "hooke.least_ratio"}
    assert sample.used("test_other") == {"tube.yield_torque_nm", "beam.cowper_shear_coefficient", "chain.joint_angle"}
    assert sample.asserts("test_by_helper")
    assert not sample.asserts("test_other")
    assert sample.used("test_that_is_not_there") == set()

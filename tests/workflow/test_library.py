"""The library says in a notebook what the command line and the pages say."""

from __future__ import annotations

import re

import pytest

import beachmark
from tests.conftest import EXAMPLES, ROOT


def test_the_readmes_notebook_lines_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    code = re.search(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    assert code is not None
    *lines, last = code.group(1).strip().splitlines()
    names: dict[str, object] = {}
    exec("\n".join(lines), names)
    assert eval(last, names) == "the arm root of the cross, joint 1, arm A1"


def test_the_three_verbs() -> None:
    case = beachmark.load(str(EXAMPLES / "long-wheelbase.yaml"))
    assert any(one.id == "finding.whirl" and one.computed for one in beachmark.sums(case))
    assert beachmark.weigh(case).opinion.first.id == "whirl_critical_speed"
    assert beachmark.weigh_object(case)["causes"][0]["id"] == "whirl_critical_speed"
    assert beachmark.report_pdf(case).startswith(b"%PDF-")


def test_nothing_else_is_offered() -> None:
    with pytest.raises(AttributeError, match="no attribute 'diagnose'"):
        beachmark.diagnose  # noqa: B018

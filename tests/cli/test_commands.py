"""The commands as a person and a script use them, in a house of their own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import EXAMPLES

TIDE = str(EXAMPLES / "tide-and-fresh.yaml")


class Run:
    """Runs the command line in a fresh process with its own home."""

    def __init__(self, home: Path):
        self.home = home

    def __call__(self, *arguments: str, fails: bool = False) -> str:
        done = subprocess.run(
            [sys.executable, "-m", "beachmark.cli.main", *arguments],
            env={**os.environ, "BEACHMARK_HOME": str(self.home), "COLUMNS": "100"},
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert "Traceback" not in done.stderr + done.stdout
        assert (done.returncode != 0) is fails, done.stderr
        return done.stderr if fails else done.stdout

    def object(self, *arguments: str) -> Any:
        return json.loads(self(*arguments, "--json"))


@pytest.fixture
def run(tmp_path: Path) -> Run:
    return Run(tmp_path / "house")


def test_new_list_show_import_export(run: Run, tmp_path: Path) -> None:
    assert "no cases yet" in run("case", "list")
    made = run.object("case", "new", "A shake at 80", "--reference", "LA-0007", "--shafts", "2")
    assert made["number"] == 1
    assert "case 2" in run("case", "import", TIDE)
    listed = run.object("case", "list")["cases"]
    assert [(line["number"], line["reference"]) for line in listed] == [(1, "LA-0007"), (2, "TR-0412")]
    shown = run("case", "show", "1")
    assert "A shake at 80" in shown
    out = tmp_path / "out.json"
    run("case", "export", "2", "-o", str(out))
    assert json.loads(out.read_text(encoding="utf-8"))["title"] == "Two broken arms, old tide marks on one only"
    assert "case 3" in run("case", "import", str(out)), "what was exported can be imported"


def test_weigh_prints_one_documented_object(run: Run) -> None:
    found = run.object("weigh", TIDE)
    keys = ("causes", "first_failure", "root_cause", "consequences", "gates", "ask_next", "would_change")
    assert set(keys) <= set(found)
    first = found["causes"][0]
    assert {"id", "title", "position", "share", "strength", "contributions"} <= set(first)
    assert first["id"] == "cross_fatigue_fillet"
    assert first["position"] == "joint-1/trunnion-A1"
    assert found["root_cause"]["open"] is True
    shares = [cause["share"] for cause in found["causes"] if cause["id"] != "not_in_list"]
    assert shares == sorted(shares, reverse=True)


def test_stages_and_stored_number_give_the_same_as_the_file(run: Run) -> None:
    run("case", "import", TIDE)
    by_number, by_file = run.object("weigh", "1"), run.object("weigh", TIDE)
    assert by_number["causes"] == by_file["causes"]
    call = run.object("weigh", TIDE, "--stage", "call")
    assert call["causes"][0]["share"] < by_file["causes"][0]["share"]


def test_sums_in_si_with_units_named(run: Run) -> None:
    sums = run.object("sums", str(EXAMPLES / "long-wheelbase.yaml"))["sums"]
    whirl = next(one for one in sums if one["id"] == "finding.whirl")
    critical = next(result for result in whirl["results"] if "critical speed, pinned" in result["words"])
    assert critical["unit"] == "rad/s"
    assert critical["value"] == pytest.approx(2388 * 0.10471975512, rel=0.02)
    assert whirl["speaks"] == "for"
    lacking = [one for one in sums if not one["computed"]]
    assert lacking
    assert all(one["missing"][0]["name"].startswith(("vehicle.", "driveline.")) for one in lacking)


def test_text_for_people(run: Run) -> None:
    told = run("weigh", TIDE)
    for heading in ("First failure", "Root cause", "Why", "Also considered", "Would change our mind", "Ask next"):
        assert heading in told
    assert "a person decides and signs" in told
    assert "Not computed" in run("sums", TIDE)


def test_a_shake_has_a_first_cause_and_no_first_failure(run: Run) -> None:
    told = run("weigh", str(EXAMPLES / "one-tooth-out.yaml"))
    assert "First cause" in told
    assert "First failure" not in told


def test_report_is_a_pdf(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "deep" / "report.pdf"
    assert str(out) in run("report", TIDE, "-o", str(out))
    assert out.read_bytes().startswith(b"%PDF-")
    assert not list(out.parent.glob("*.part"))


def test_schema_and_knowledge_lint(run: Run) -> None:
    assert json.loads(run("case", "schema"))["properties"]["beachmark_case"]["const"] == 1
    assert json.loads(run("case", "schema", "--catalogue"))["title"] == "beachmark parts catalogue"
    assert run.object("knowledge", "lint")["weaknesses"] == []


def test_start_loads_the_demo_once_and_writes_the_first_report(run: Run) -> None:
    first = run("start", "--no-serve")
    assert "loaded demo case 3" in first
    assert "first failure:" in first
    pdf = Path(next(line for line in first.splitlines() if line.startswith("report: ")).removeprefix("report: "))
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert "http://127.0.0.1:" in first
    assert "loaded demo case" not in run("start", "--no-serve"), "a house with cases is left as it is"
    assert len(run.object("case", "list")["cases"]) == 3


def test_home_option_moves_the_house(run: Run, tmp_path: Path) -> None:
    run("--home", str(tmp_path / "other"), "case", "new", "elsewhere")
    assert run.object("case", "list")["cases"] == []
    assert (tmp_path / "other" / "beachmark.db").is_file()


BAD_FILES = {
    "wrong unit": ("vehicle: {axle: {ratio: 4 kg}}", "is a mass"),
    "no unit": ("driveline: {shafts: [{length: 8.6}]}", "has no unit"),
    "negative length": ("driveline: {shafts: [{length: -2 m}]}", "cannot be"),
    "nan": ("driveline: {shafts: [{length: .nan}]}", "is not a number"),
    "unknown observation": ("observations: [{see: cross.colour, answers: [red]}]", "unknown observation"),
    "unknown answer": ("observations: [{see: cross.face, answers: [red]}]", "has no answer"),
    "unknown field": ("colour: red", "unknown field"),
    "joint without neighbours": ("driveline: {joints: [{}, {}]}", "no joint has neighbours"),
    "duplicate key": ("reference: a\nreference: b", "stands twice"),
    "bomb": ("a: &a [x]\nb: [*a, *a]", "anchors and aliases"),
    "tag": ("a: !!python/object:os.system x", "tag"),
    "not yaml": ("a: [1", "cannot be read"),
}


@pytest.mark.parametrize("kind", BAD_FILES)
def test_bad_files_are_refused_and_nothing_is_stored(kind: str, run: Run, tmp_path: Path) -> None:
    text, says = BAD_FILES[kind]
    bad = tmp_path / "bad.yaml"
    bad.write_text(f"beachmark_case: 1\ntitle: bad\n{text}\n", encoding="utf-8")
    told = run("case", "import", str(bad), fails=True)
    assert says in told
    assert "bad.yaml, line" in told
    assert run.object("case", "list")["cases"] == []
    for verb in ("weigh", "sums"):
        assert says in run(verb, str(bad), fails=True)


def test_large_binary_and_missing_files(run: Run, tmp_path: Path) -> None:
    large = tmp_path / "large.yaml"
    large.write_bytes(b"beachmark_case: 1\ntitle: x\n#" + b"x" * 30_000_000)
    assert "30.0 MB" in run("case", "import", str(large), fails=True)
    binary = tmp_path / "photo.jpg"
    binary.write_bytes(bytes(range(256)))
    assert "not UTF-8" in run("case", "import", str(binary), fails=True)
    assert "there is no file" in run("weigh", str(tmp_path / "none.yaml"), fails=True)
    assert "is not a file" in run("weigh", str(tmp_path), fails=True)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("weigh", "99"), "there is no case 99"),
        (("weigh", TIDE, "--stage", "tomorrow"), "call, photos, bench"),
        (("case", "new", "   "), "title"),
        (("case", "new", "x", "--shafts", "9"), "1 to 6"),
        (("report", TIDE, "-o", "/proc/none/x.pdf"), "cannot be written"),
        (("--home", "/dev/null/x", "case", "list"), "folder"),
        (("knowledge", "lint", "/nowhere"), "there is no folder"),
    ],
)
def test_bad_arguments(arguments: tuple[str, ...], says: str, run: Run) -> None:
    assert says in run(*arguments, fails=True)


def test_a_catalogue_beside_the_case_is_found_and_no_other_file(run: Run, tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(
        "beachmark_catalogue: 1\nname: Own\njoints: {a: {needles: 30}}", encoding="utf-8"
    )
    text = "beachmark_case: 1\ntitle: x\ncatalogue: {}\ndriveline: {{shafts: [{{}}], joints: [{{size: a}}, {{}}]}}\n"
    good = tmp_path / "good.yaml"
    good.write_text(text.format("own.yaml"), encoding="utf-8")
    run("case", "import", str(good))
    for outside in ("/etc/passwd", "../own.yaml", "..\\own.yaml"):
        bad = tmp_path / "bad.yaml"
        bad.write_text(text.format(f"'{outside}'"), encoding="utf-8")
        assert "cannot be read" in run("case", "import", str(bad), fails=True)

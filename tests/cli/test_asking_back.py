"""What the command line says beside the results: version, limits, ranges, what is asked back, who can reach it."""

from __future__ import annotations

import io
import json
import math
import os
import re
import subprocess
import sys
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

import pytest
import uvicorn

import beachmark
from beachmark.cli import serving
from beachmark.cli.printing import print_sums
from beachmark.workflow import loading, working
from tests.conftest import EXAMPLES

ODD = """
beachmark_case: 1
title: odd sizes
driveline: {shafts: [{slope: 3 deg, tube: {wall: 40 mm}}]}
"""


def run(*arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "beachmark.cli.main", *arguments],
        env={**os.environ, "COLUMNS": "200"}, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def printed(found: dict[str, Any], loaded: loading.Loaded) -> str:
    out = io.StringIO()
    with redirect_stdout(out):
        print_sums(loaded, found)
    return " ".join(out.getvalue().split())


def test_version() -> None:
    assert run("--version").strip() == f"beachmark {beachmark.__version__}"


def test_the_library_lists_what_it_offers() -> None:
    assert set(dir(beachmark)) == {*beachmark.__all__, "__version__"}
    assert all(callable(getattr(beachmark, name)) for name in beachmark.__all__)


def test_text_sums_show_limit_source_and_range() -> None:
    loaded = loading.load(str(EXAMPLES / "long-wheelbase.yaml"))
    found = working.sums_object(loaded)
    told = printed(found, loaded)
    held = [one for one in found["sums"] if one["computed"] and one["held_against"]]
    assert held
    for one in held:
        assert " ".join(one["held_against"]["words"].split()) in told
        assert f"source of the limit: {' '.join(one['held_against']['source'].split())}" in told
    assert told.count("source of the limit:") == len(held)
    assert "held against 0.9 (0.8 to 1)" in told
    kept = [one for one in found["sums"] if one["computed"] and one["method"] and one["validity"]]
    assert told.count("the range of the method") == len(kept)
    assert told.count("the range of the method:") == len(kept), "never without its words"


def test_text_sums_say_when_the_range_of_the_method_was_left() -> None:
    loaded = loading.load(str(EXAMPLES / "long-wheelbase.yaml"))
    found = working.sums_object(loaded)
    first = next(one for one in found["sums"] if one["computed"] and one["method"])
    assert "OUTSIDE" not in printed({"sums": [first]}, loaded)
    told = printed({"sums": [first | {"valid": False, "validity": "steeper than it takes"}]}, loaded)
    assert "OUTSIDE the range of the method: steeper than it takes" in told
    assert "range of the method" not in printed({"sums": [first | {"valid": True, "validity": ""}]}, loaded)
    assert "OUTSIDE the range of the method" in printed({"sums": [first | {"valid": False, "validity": ""}]}, loaded)


@pytest.mark.parametrize(
    ("si", "unit", "shown"),
    [
        (534.5e6, "Pa", "534.5 MPa"), (206e9, "Pa", "206 GPa"), (754.4e6, "m", "754 400 km"),
        (0.02441, "m", "24.41 mm"), (15070.0, "N m", "15.07 kN m"), (1800.0, "N m", "1800 N m"),
        (109700.0, "N", "109.7 kN"), (9000.0, "N", "9000 N"), (math.pi / 2, "rad", "90 deg"),
        (math.pi, "rad/s", "30 rpm"), (25.0, "m/s", "90 km/h"), (4.0, "Hz", "4 Hz"), (0.9, "1", "0.9"),
        (0.0, "Pa", "0 MPa"), (2e5, "N/m", "200 N/mm"), (12.0, "kg", "12 kg"),
    ],
)  # fmt: skip
def test_text_sums_show_the_units_that_people_read(si: float, unit: str, shown: str) -> None:
    loaded = loading.load(str(EXAMPLES / "long-wheelbase.yaml"))
    first = next(one for one in working.sums_object(loaded)["sums"] if one["computed"])
    result = first["results"][0] | {"value": si, "low": si, "high": si, "unit": unit, "words": "size"}
    told = printed({"sums": [first | {"results": [result], "held_against": None}]}, loaded)
    assert f" size: {shown} " in told


def test_a_range_and_its_value_share_their_unit() -> None:
    loaded = loading.load(str(EXAMPLES / "long-wheelbase.yaml"))
    first = next(one for one in working.sums_object(loaded)["sums"] if one["computed"])
    result = first["results"][0] | {"value": 9000.0, "low": 8000.0, "high": 12000.0, "unit": "N m", "words": "size"}
    told = printed({"sums": [first | {"results": [result], "held_against": None}]}, loaded)
    assert "size: 9 kN m (8 to 12 kN m)" in told


def test_no_result_of_an_example_is_printed_in_pascal_or_metres() -> None:
    for path in sorted(EXAMPLES.rglob("*.yaml")):
        loaded = loading.load(str(path))
        told = printed(working.sums_object(loaded), loaded)
        assert not re.search(r": [-0-9., ]+ (Pa|m|rad|rad/s|m/s)( |$)", told), path.name


def test_what_is_missing_is_said_in_words() -> None:
    loaded = loading.load(str(EXAMPLES / "long-wheelbase.yaml"))
    found = working.sums_object(loaded)
    lacking = [one for one in found["sums"] if not one["computed"]]
    told = printed({"sums": lacking}, loaded)
    assert lacking
    for one in lacking:
        for lack in one["missing"]:
            assert lack["words"] in told
    assert not re.search(r"(vehicle|driveline)[.\[]", told)


def test_sums_and_check_ask_back_and_refuse_nothing(tmp_path: Path) -> None:
    path = tmp_path / "odd.yaml"
    path.write_text(ODD, encoding="utf-8")
    wall = "driveline.shafts[0].tube.wall: Wall thickness 40 mm: usual is 1.6 to 10 mm. Keep it if measured."
    for verb in (("sums",), ("case", "check")):
        told = " ".join(run(*verb, str(path)).split())
        assert f"{wall} [common practice, no source]" in told
        assert (
            "driveline.shafts[0].slope: Slope in side view read as: 3.0° rising to the rear, which was assumed" in told
        )
    listed = json.loads(run("case", "check", str(path), "--json"))
    assert [one["name"] for one in listed["asked_back"]] == [
        "driveline.shafts[0].tube.wall",
        "driveline.shafts[0].slope",
    ]


def test_check_of_an_ordinary_case_asks_nothing() -> None:
    told = run("case", "check", str(EXAMPLES / "tide-and-fresh.yaml"))
    assert "no fault" in told
    assert "Asked back" not in told


@pytest.mark.parametrize(
    ("host", "alone"),
    [("127.0.0.1", True), ("localhost", True), ("127.5.5.5", True), ("::1", True),
     ("0.0.0.0", False), ("192.168.4.4", False), ("::", False), ("workshop", False)],
)  # fmt: skip
def test_what_is_loopback(host: str, alone: bool) -> None:
    assert serving.is_loopback(host) is alone


@pytest.mark.parametrize(("host", "warns"), [("0.0.0.0", True), ("127.0.0.1", False)])
def test_serve_warns_before_it_listens(
    host: str, warns: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said_before: list[str] = []
    monkeypatch.setenv("BEACHMARK_HOME", "")
    monkeypatch.setattr(uvicorn, "run", lambda *args, **kwargs: said_before.append(capsys.readouterr().err))
    serving.serve(tmp_path, host=host, port=18765)
    assert ("anyone on the network" in said_before[0]) is warns
    assert ("no account" in said_before[0]) is warns

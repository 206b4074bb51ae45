"""`beachmark replay`: what it prints, what it keeps, how it is stopped."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
import time
from contextlib import redirect_stdout
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from beachmark.cli.replay_printing import _percent, print_replay
from beachmark.workflow import loading, working
from tests.conftest import EXAMPLES
from tests.workflow.replays import a_record, judged

TIDE = str(EXAMPLES / "tide-and-fresh.yaml")
PATIENCE_S = 120.0


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "beachmark.cli.main", *arguments]


def house(tmp_path: Path) -> dict[str, str]:
    return {**os.environ, "BEACHMARK_HOME": str(tmp_path), "COLUMNS": "100"}


def run(home: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        command(*arguments), env=house(home), capture_output=True, text=True, timeout=300, check=False
    )
    assert "Traceback" not in done.stderr + done.stdout
    return done


def found(**changes: Any) -> dict[str, Any]:
    """The object of the hand-made record of four draws, on a case that is stale for it."""
    loaded = replace(loading.load(TIDE), replay=judged(a_record()))
    return working.replay_object(loaded) | changes


def printed(plain: dict[str, Any], *, kept: bool = True) -> str:
    out = io.StringIO()
    with redirect_stdout(out):
        print_replay(plain, kept=kept)
    return " ".join(out.getvalue().split())


# ---- what it prints -------------------------------------------------------------------------------------------


def test_a_table_for_each_event_with_what_follows_by_hand_from_four_draws() -> None:
    plain = found()
    told = printed(plain)
    assert f"Clutch closed at once: fits {100 * plain['events'][0]['chance']:.0f} of 100" in told
    assert f"None of these, or no single event: {100 * plain['none_of_these']:.0f} of 100" in told
    assert "gear 10 (9.15 to 10.8) : 1" in told
    assert "most loaded cross of joint 1" in told
    assert "peak torque 11 (8.3 to 27.3) kN m" in told  # 5 %, middle and 95 % of 8, 10, 12, 30 kN m by straight lines
    assert "over steady 1.38 (1.04 to 3.41)" in told
    assert "load over capacity 0.688 (0.519 to 1.71)" in told
    assert "breaks a sound part 25 % of the draws; first: cross of joint 1" in told
    assert "peaks by the referee 0.1 % off in the typical draw; 0.2 % off in the worst draw" in told
    assert "4 draws of each event, seed 1" in told


def test_it_ends_with_sentence_notes_and_that_a_person_decides() -> None:
    plain = found(sentence="It fits best.", wanted=["the axle ratio"], position_words="The place tells nothing.")
    told = printed(plain)
    together = told.index("Together")
    for words in (plain["stale"], "It fits best.", "The place tells nothing.", "Measure or ask next the axle ratio"):
        assert told.index(words) > together
    assert "Notes made by hand" in told
    assert told.endswith("no proof of what happened. The tool advises; a person decides and signs.")


def test_the_bracket_is_printed_with_its_range() -> None:
    bounds = {"words": "torque, at least", "value": 2e4, "low": 1.8e4, "high": 2.2e4, "unit": "N m", "widened_by": None}
    told = printed(found(bracket={"results": [bounds]}))
    assert "torque, at least: 20 kN m (18 to 22 kN m)" in told
    assert "at least" not in printed(found(bracket=None))


def test_what_is_assumed_went_astray_or_was_not_checked_is_said() -> None:
    plain = found()
    event = plain["events"][0]
    part = event["parts"][0] | {"known": False, "because": "the hardness of its core"}
    told = printed(plain | {"events": [event | {"parts": [part], "sound": 0.75, "referee": None}]}, kept=False)
    assert "what it bears is assumed, not known: the hardness of its core" in told
    assert "went astray 25 % of the draws, left out" in told
    assert "peaks by the referee not checked" in told
    assert "Kept nowhere: the case is a file." in told
    whole = printed(plain)
    assert "went astray" not in whole
    assert "is assumed, not known" not in whole
    assert "Kept with the case." in whole


def test_the_part_shown_is_the_one_most_loaded_for_what_it_bears() -> None:
    plain = found()
    event = plain["events"][0]
    part = event["parts"][0]
    lighter = part | {"words": "tube of shaft 1", "used": part["used"] | {"middle": 0.9}, "first": 0.5}
    told = printed(plain | {"events": [event | {"parts": [part, lighter]}]})
    assert "most loaded tube of shaft 1" in told
    assert "breaks a sound part 75 % of the draws; first: tube of shaft 1" in told


@pytest.mark.parametrize(
    ("share", "shown"),
    [(0.0, "0 %"), (1.0, "100 %"), (0.9999, "99.9 %"), (1e-6, "less than 0.01 %"), (0.0042, "0.42 %"),
     (0.3456, "34.6 %")],
)  # fmt: skip
def test_a_share_is_never_rounded_to_none_or_all(share: float, shown: str) -> None:
    assert _percent(share) == shown


# ---- what it does ---------------------------------------------------------------------------------------------


def test_a_stored_case_keeps_its_replay_and_weighs_it(tmp_path: Path) -> None:
    assert run(tmp_path, "case", "import", TIDE).returncode == 0
    before = json.loads(run(tmp_path, "sums", "1", "--json").stdout)
    done = run(tmp_path, "replay", "1", "--events", "steady_pull, clutch_dropped", "--draws", "8", "--seed", "5",
               "--no-referee", "--json")  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stderr == "", "no bar where no person looks"
    replayed = json.loads(done.stdout)
    assert (replayed["object"], replayed["version"]) == ("beachmark.replay", 1)
    assert (replayed["draws"], replayed["seed"], replayed["stale"]) == (8, 5, None)
    assert {event["id"] for event in replayed["events"]} == {"steady_pull", "clutch_dropped"}
    assert {event["referee"] for event in replayed["events"]} == {None}
    after = json.loads(run(tmp_path, "sums", "1", "--json").stdout)
    added = {one["id"] for one in after["sums"]} - {one["id"] for one in before["sums"]}
    assert added == {one["id"] for one in replayed["sums"]}


def test_a_file_is_replayed_and_judged_and_kept_nowhere(tmp_path: Path) -> None:
    done = run(tmp_path, "replay", TIDE, "--events", "steady_pull", "--draws", "8")
    assert done.returncode == 0, done.stderr
    assert "off in the typical draw" in done.stdout
    assert "Kept nowhere" in done.stdout
    assert not (tmp_path / "beachmark.db").exists()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--events", "meteor"), "'meteor' is not an event"),
        (("--events", "meteor"), "Allowed: steady_pull,"),
        (("--draws", "2"), "draws: 2 is not possible. Allowed: 8 to 20000."),
        (("--seed", "-1"), "seed: -1 is not possible"),
    ],
)
def test_what_cannot_be_run_is_refused_in_a_sentence(arguments: tuple[str, ...], says: str, tmp_path: Path) -> None:
    done = run(tmp_path, "replay", TIDE, *arguments)
    assert done.returncode == 1
    assert says in " ".join(done.stderr.split())
    assert done.stdout == ""


@pytest.mark.skipif(os.name != "posix", reason="sends a signal as a terminal does")
def test_ctrl_c_stops_it_with_a_sentence(tmp_path: Path) -> None:
    started = command("replay", TIDE, "--draws", "20000")
    with subprocess.Popen(
        started, env=house(tmp_path), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as running:
        give_up = time.monotonic() + PATIENCE_S
        while not (tmp_path / "compiled").exists():  # made when the replay begins
            assert time.monotonic() < give_up
            assert running.poll() is None
            time.sleep(0.01)
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=PATIENCE_S)
    assert running.returncode == 130
    assert "Stopped before the replay was complete: nothing of it was kept." in err
    assert "Traceback" not in err
    assert out == ""


@pytest.mark.skipif(os.name != "posix", reason="needs a terminal of its own")
def test_a_person_at_a_terminal_sees_a_bar(tmp_path: Path) -> None:
    ours, theirs = os.openpty()
    try:
        done = subprocess.run(
            command("replay", TIDE, "--events", "steady_pull", "--draws", "8", "--no-referee", "--json"),
            env={**house(tmp_path), "TERM": "xterm"}, stdout=subprocess.PIPE, stderr=theirs, text=True, timeout=300,
            check=False,
        )  # fmt: skip
        shown = os.read(ours, 100_000).decode("utf-8", "replace")
    finally:
        os.close(ours)
        os.close(theirs)
    assert done.returncode == 0
    assert "%" in shown
    assert json.loads(done.stdout)["object"] == "beachmark.replay", "the bar is beside the object, not in it"

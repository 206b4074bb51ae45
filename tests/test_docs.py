"""Docs are tested like code: commands named in them exist, files linked in them are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.main import get_command

from beachmark.cli.main import app
from beachmark.workflow.packaged import knowledge
from tests.conftest import ROOT

PAGES = [ROOT / "README.md", ROOT / "CHANGELOG.md", *sorted((ROOT / "docs").rglob("*.md"))]


def commands() -> set[str]:
    """Every command and group of the command line."""
    root = get_command(app)
    found = set()
    for name, command in root.commands.items():  # type: ignore[attr-defined]
        found.add(name)
        found |= {f"{name} {inner}" for inner in getattr(command, "commands", {})}
    return found


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)", page.read_text(encoding="utf-8")):
        assert not target.startswith("http"), f"{page.name} names an address: {target}"
        assert (page.parent / target).exists(), f"{page.name}: {target}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_commands_named_exist(page: Path) -> None:
    known = commands()
    groups = {name.split()[0] for name in known if " " in name}
    for named in re.findall(r"`beachmark ([a-z]+)(?: ([a-z]+))?", page.read_text(encoding="utf-8")):
        first, second = named
        assert first in {name.split()[0] for name in known}, named
        if first in groups and second:
            assert f"{first} {second}" in known, named


def test_every_command_has_help() -> None:
    root = get_command(app)
    for command in root.commands.values():  # type: ignore[attr-defined]
        assert command.help
        assert all(inner.help for inner in getattr(command, "commands", {}).values())


def test_make_targets_named_in_the_readme_exist() -> None:
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.M))
    named = set(re.findall(r"`(?:HEADLESS=1 )?make ([a-z-]+)`", (ROOT / "README.md").read_text(encoding="utf-8")))
    assert {"run", "test"} <= named <= targets


def test_the_numbers_of_the_changelog_are_true() -> None:
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    known = knowledge()
    observations = sum(1 for question in known.questions.values() if question.effort)
    assert f"{observations} observations, {len(known.causes)} causes, {len(known.root_causes)} root causes" in text


def test_nothing_reads_the_material_folder() -> None:
    """The project stands on its own: no file of it names the folder that it was built from."""
    for folder in ("src", "tests", "scripts", "docs", "examples"):
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and path.suffix in (".py", ".md", ".yaml", ".sh", ".typ", ".html", ".css"):
                text = path.read_text(encoding="utf-8")
                assert "../" + "shared" not in text, path
                assert "/wo" + "rk/" not in text, path

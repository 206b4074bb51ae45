"""The knowledge files checked."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from beachmark.basis.errors import NotFoundError
from beachmark.knowledge.linter import lint
from beachmark.knowledge.loader import load_knowledge
from beachmark.workflow.packaged import knowledge_texts


def lint_knowledge(folder: Path | None = None) -> dict[str, Any]:
    """Check the packaged knowledge or that of a folder. Raises `InputError` with every fault of every file."""
    known = load_knowledge(knowledge_texts() if folder is None else _texts(folder))
    return {
        "object": "beachmark.knowledge_lint",
        "version": 1,
        "counts": {
            "questions": len(known.questions),
            "causes": len(known.causes),
            "root_causes": len(known.root_causes),
        },
        "weaknesses": [asdict(weakness) for weakness in lint(known)],
    }


def _texts(folder: Path) -> dict[str, str]:
    if not folder.is_dir():
        raise NotFoundError(f"there is no folder {folder}")
    files = sorted(folder.rglob("*.yaml"))
    return {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8", errors="replace") for path in files}

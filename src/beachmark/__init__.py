"""beachmark: what broke first in a driveline, why, and where the load came from.

Three lines in a notebook:

    import beachmark
    case = beachmark.load("examples/tide-and-fresh.yaml")
    beachmark.weigh(case).opinion.first_failure.words

`sums(case)` gives every sum, `report_pdf(case)` the report as bytes; `weigh_object(case)` and
`sums_object(case)` give the documented objects that the command line prints with `--json`.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from beachmark.workflow.loading import load
    from beachmark.workflow.reporting import report_pdf
    from beachmark.workflow.working import sums, sums_object, weigh, weigh_object

__version__ = "0.1.0"
__all__ = ["load", "report_pdf", "sums", "sums_object", "weigh", "weigh_object"]

_HOME = {
    "load": "loading",
    "report_pdf": "reporting",
    "sums": "working",
    "sums_object": "working",
    "weigh": "working",
    "weigh_object": "working",
}


def __getattr__(name: str) -> Any:
    """The verbs are imported when they are first used, so that importing the package costs nothing."""
    if name in _HOME:
        return getattr(import_module(f"beachmark.workflow.{_HOME[name]}"), name)
    raise AttributeError(f"module 'beachmark' has no attribute {name!r}")


def __dir__() -> list[str]:
    """What the library offers, for whoever looks around in a notebook."""
    return sorted([*__all__, "__version__"])

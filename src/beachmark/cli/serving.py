"""A free port, the server, the first run."""

from __future__ import annotations

import ipaddress
import os
import socket
from pathlib import Path

import typer

from beachmark.basis.errors import BeachmarkError
from beachmark.workflow import demo, loading, reporting, working
from beachmark.workflow.home import VARIABLE, home_folder, open_store

TRIED_PORTS = 50
PAGES = "beachmark.web.app:app_of_home"


OPEN_TO_ALL = (
    "WARNING: on {host} anyone on the network who reaches this machine can read and change every case. "
    "There is no account and no password. Leave --host away to serve this machine only."
)


def is_loopback(host: str) -> bool:
    """True when only this machine can reach what listens there."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def free_port(host: str, first: int) -> int:
    """The first port from `first` on that nobody listens on. Raises `BeachmarkError`."""
    for port in range(first, min(first + TRIED_PORTS, 65536)):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, port))
            except OSError:
                continue
            return port
    raise BeachmarkError(f"no free port from {first} on; name another with --port")


def serve(home: Path | None, *, host: str, port: int) -> None:
    """Serve the pages until interrupted."""
    import uvicorn

    found = free_port(host, port)
    if not is_loopback(host):
        typer.echo(OPEN_TO_ALL.format(host=host), err=True)
    os.environ[VARIABLE] = str(home_folder(home))
    typer.echo(f"serving on http://{host}:{found}  (Ctrl-C stops)")
    # by name: the command line and the pages are siblings and do not import each other
    uvicorn.run(PAGES, factory=True, host=host, port=found, log_level="warning")


def start(home: Path | None, *, port: int, serves: bool) -> None:
    """Load the demo into an empty house, weigh the first case, write its report, serve."""
    folder = home_folder(home)
    store = open_store(folder)
    try:
        for loaded in demo.load_demo(store):
            typer.echo(f"loaded demo case {loaded.number}: {loaded.case.title}")
        first = loading.from_store(store, store.list()[0].number)
    finally:
        store.close()
    found = working.weigh_object(first)
    lead = found["causes"][0]
    typer.echo(f"\ncase {first.number}: {first.case.title}")
    label = "first cause" if found["parted"] is False else "first failure"
    typer.echo(f"{label}: {found['first_failure']['words']}")
    typer.echo(f"cause: {lead['title']} — {lead['strength']}")
    path = folder / "reports" / f"case-{first.number}.pdf"
    loading.write_bytes(path, reporting.report_pdf(first))
    typer.echo(f"report: {path}")
    if serves:
        serve(home, host="127.0.0.1", port=port)
    else:
        typer.echo(f"address when served: http://127.0.0.1:{free_port('127.0.0.1', port)} (beachmark serve)")

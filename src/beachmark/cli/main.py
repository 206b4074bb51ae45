"""The commands. Heavy imports wait until a command needs them, so that `--help` answers at once."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from beachmark.basis.errors import BeachmarkError

if TYPE_CHECKING:
    from beachmark.workflow.home import Store

app = typer.Typer(
    help="What broke first in a heavy vehicle's driveline, why, and where the load came from.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
case_app = typer.Typer(help="Cases: make, list, show, import, export; the file format.", no_args_is_help=True)
knowledge_app = typer.Typer(help="The knowledge: causes, questions, limits.", no_args_is_help=True)
app.add_typer(case_app, name="case")
app.add_typer(knowledge_app, name="knowledge")

CaseArgument = Annotated[str, typer.Argument(metavar="CASE", help="Number of a stored case, or a case file.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one documented JSON object.")]
StageOption = Annotated[
    list[str] | None, typer.Option("--stage", help="Weigh only what had come in by this stage; may be repeated.")
]

EventsOption = Annotated[
    list[str] | None,
    typer.Option("--events", help="Events to replay, by id, with commas between; else all that the vehicle can meet."),
]


class Home:
    """The data folder of this run."""

    folder: Path | None = None


def _print_version(asked: bool) -> None:
    if asked:
        from beachmark import __version__

        typer.echo(f"beachmark {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    home: Annotated[
        Path | None, typer.Option("--home", help="Data folder (else BEACHMARK_HOME, else the user's).")
    ] = None,
    version: Annotated[  # noqa: ARG001  handled by its callback, before any command
        bool, typer.Option("--version", help="Print the version and stop.", callback=_print_version, is_eager=True)
    ] = False,
) -> None:
    Home.folder = home


@contextmanager
def _store() -> Iterator[Store]:
    from beachmark.workflow.home import home_folder, open_store

    store = open_store(home_folder(Home.folder))
    try:
        yield store
    finally:
        store.close()


def _print_json(plain: Any) -> None:
    typer.echo(json.dumps(plain, ensure_ascii=False, indent=2))


@case_app.command("new")
def case_new(
    title: Annotated[str, typer.Argument(help="A line that says what it is about.")],
    reference: Annotated[str, typer.Option(help="Name or number of the vehicle.")] = "",
    shafts: Annotated[int, typer.Option(help="How many shafts, 1 to 6; 0 while not known.")] = 0,
    as_json: JsonOption = False,
) -> None:
    """Make a new case."""
    from beachmark.workflow import keeping

    with _store() as store:
        made = keeping.new_case(store, title=title, reference=reference, shafts=shafts)
    _report_stored(made.number, made.case.title, as_json)


def _report_stored(number: int | None, title: str, as_json: bool) -> None:
    if as_json:
        _print_json({"object": "beachmark.stored", "version": 1, "number": number, "title": title})
    else:
        typer.echo(f"case {number}: {title}")


@case_app.command("list")
def case_list(as_json: JsonOption = False) -> None:
    """List the stored cases."""
    with _store() as store:
        lines = store.list()
    if as_json:
        rows = [{"number": c.number, "title": c.title, "reference": c.reference, "changed": c.changed} for c in lines]
        _print_json({"object": "beachmark.cases", "version": 1, "cases": rows})
        return
    for line in lines:
        typer.echo(f"{line.number:>4}  {line.reference:<12} {line.title}")
    if not lines:
        typer.echo("There are no cases yet: beachmark case new TITLE, or beachmark case import FILE.")


@case_app.command("show")
def case_show(case: CaseArgument, as_json: JsonOption = False) -> None:
    """Show a case: the same as its file."""
    from beachmark.workflow import keeping, loading

    typer.echo(keeping.export_case(loading.load(case, home=Home.folder), as_json=as_json), nl=False)


@case_app.command("check")
def case_check(case: CaseArgument, as_json: JsonOption = False) -> None:
    """Read a case and store nothing: every fault is named, and what looks unusual is asked back."""
    from beachmark.workflow import fields, loading

    loaded = loading.load(case, home=Home.folder)
    asked = fields.asked_back(loaded.case)
    if as_json:
        listed = [{"name": one.name, "question": one.question, "source": one.source} for one in asked]
        _print_json({"object": "beachmark.check", "version": 1, "case": loaded.number, "asked_back": listed})
        return
    from beachmark.cli.printing import print_check

    print_check(loaded, asked)


@case_app.command("import")
def case_import(
    file: Annotated[Path, typer.Argument(help="A case file, YAML or JSON.")], as_json: JsonOption = False
) -> None:
    """Store the case of a file; with any fault nothing is stored."""
    from beachmark.workflow import keeping

    with _store() as store:
        made = keeping.import_case(store, file)
    _report_stored(made.number, made.case.title, as_json)


@case_app.command("export")
def case_export(
    case: CaseArgument,
    output: Annotated[Path | None, typer.Option("--output", "-o", help="File to write; else printed.")] = None,
    as_json: JsonOption = False,
) -> None:
    """Write a case as a case file (YAML, or JSON with --json or a .json name)."""
    from beachmark.workflow import keeping, loading

    wants_json = as_json or (output is not None and output.suffix == ".json")
    text = keeping.export_case(loading.load(case, home=Home.folder), as_json=wants_json)
    if output is None:
        typer.echo(text, nl=False)
    else:
        loading.write_bytes(output, text.encode("utf-8"))
        typer.echo(f"written: {output}")


@case_app.command("schema")
def case_schema(
    catalogue: Annotated[bool, typer.Option("--catalogue", help="The schema of the parts catalogue.")] = False,
) -> None:
    """Print the JSON Schema of the case file."""
    from beachmark.workflow import working

    _print_json(working.schema(catalogue=catalogue))


@app.command("sums")
def sums_command(case: CaseArgument, as_json: JsonOption = False) -> None:
    """Compute what the case allows, and say what is missing for the rest."""
    from beachmark.workflow import fields, loading, working

    loaded = loading.load(case, home=Home.folder)
    if as_json:
        _print_json(working.sums_object(loaded))
        return
    from beachmark.cli.printing import print_sums

    print_sums(loaded, working.sums_object(loaded), fields.asked_back(loaded.case))


@app.command("weigh")
def weigh_command(case: CaseArgument, as_json: JsonOption = False, stage: StageOption = None) -> None:
    """Weigh the causes: what failed first, why, what is still open, what to ask next."""
    from beachmark.workflow import loading, working

    loaded = loading.load(case, home=Home.folder)
    found = working.weigh_object(loaded, stages=working.known_stages(stage or []))
    if as_json:
        _print_json(found)
        return
    from beachmark.cli.printing import print_weighing

    print_weighing(found)


@app.command("replay")
def replay_command(
    case: CaseArgument,
    events: EventsOption = None,
    draws: Annotated[int, typer.Option(help="Draws of each event, 8 to 20000.")] = 1000,
    seed: Annotated[int, typer.Option(help="Seed of chance: the same seed gives the same replay.")] = 1,
    no_referee: Annotated[
        bool, typer.Option("--no-referee", help="Leave out the check of the peaks by another solver.")
    ] = False,
    as_json: JsonOption = False,
) -> None:
    """Replay the events that could have broken it, many draws of each; a stored case keeps the result."""
    from beachmark.cli.watching import run_watched
    from beachmark.workflow import loading, replaying, working

    chosen = tuple(part.strip() for given in events or () for part in given.split(",") if part.strip())
    order = replaying.Order(events=chosen, draws=draws, seed=seed)
    loaded = loading.load(case, home=Home.folder)
    done = run_watched(loaded, order, home=Home.folder, referee=not no_referee)
    found = working.replay_object(done)
    if as_json:
        _print_json(found)
        return
    from beachmark.cli.replay_printing import print_replay

    print_replay(found, kept=done.number is not None)


@app.command("report")
def report_command(
    case: CaseArgument,
    output: Annotated[Path, typer.Option("--output", "-o", help="PDF file to write.")],
    as_json: JsonOption = False,
) -> None:
    """Write the report as PDF."""
    from beachmark.workflow import loading, reporting

    loaded = loading.load(case, home=Home.folder)
    loading.write_bytes(output, reporting.report_pdf(loaded))
    if as_json:
        _print_json({"object": "beachmark.report", "version": 1, "case": loaded.number, "file": str(output)})
    else:
        typer.echo(f"written: {output}")


@knowledge_app.command("lint")
def knowledge_lint(
    folder: Annotated[Path | None, typer.Argument(help="A folder of knowledge files; else the packaged one.")] = None,
    as_json: JsonOption = False,
) -> None:
    """Check the knowledge files: faults stop, weaknesses are listed."""
    from beachmark.workflow import checking

    found = checking.lint_knowledge(folder)
    if as_json:
        _print_json(found)
        return
    for weakness in found["weaknesses"]:
        typer.echo(f"{weakness['kind']}: {weakness['entry']}: {weakness['words']}")
    counts = found["counts"]
    typer.echo(
        f"{counts['questions']} questions, {counts['causes']} causes, {counts['root_causes']} root causes: "
        f"no fault, {len(found['weaknesses'])} weaknesses"
    )


@app.command("serve")
def serve_command(
    port: Annotated[int, typer.Option(min=1, max=65535, help="Port; the first free one from here.")] = 8765,
    host: Annotated[str, typer.Option(help="Address to listen on; loopback unless you know why.")] = "127.0.0.1",
) -> None:
    """Serve the pages on this machine."""
    from beachmark.cli.serving import serve

    serve(Home.folder, host=host, port=port)


@app.command("start")
def start_command(
    port: Annotated[int, typer.Option(min=1, max=65535, help="Port; the first free one from here.")] = 8765,
    no_serve: Annotated[bool, typer.Option("--no-serve", help="Do everything but serve.")] = False,
) -> None:
    """Load the demo into an empty house, weigh the first case, write its report, serve the pages."""
    from beachmark.cli.serving import start

    start(Home.folder, port=port, serves=not no_serve)


def main() -> None:
    """Run the command line; every error is one plain message, never a traceback."""
    try:
        app()
    except BeachmarkError as error:
        typer.echo(str(error), err=True)
        sys.exit(1)
    except BrokenPipeError:
        sys.exit(1)
    except Exception as error:
        # our own mistake: one line for the person; the details are for whoever sets BEACHMARK_DEBUG
        if os.environ.get("BEACHMARK_DEBUG"):
            raise
        kind = type(error).__name__
        typer.echo(f"That is a fault of this program, not of yours ({kind}: {error}). Nothing was stored.", err=True)
        sys.exit(1)


if __name__ == "__main__":
    main()

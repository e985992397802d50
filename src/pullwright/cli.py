"""The workbench from a terminal: every command reads a file, asks a room, prints, and maps errors to messages and an exit status.

Status 0: done. 1: read and worked out, but the line cannot make what customers pull. 2: bad input, with a clear message.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pullwright.commands import balance, forecast, log, plan, rest, study
from pullwright.commands.terminal import print_json, read_line, stop, tell_names, tell_why, write_print

if TYPE_CHECKING:
    from rich.console import Console

    from pullwright.account import Account
    from pullwright.figure import Figure
    from pullwright.survey import Survey

app = typer.Typer(
    name="pullwright",
    help="The workbench for the person who runs and improves production in a small factory.",
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

LineFile = Annotated[Path, typer.Argument(metavar="LINE.yaml", help="A line file.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for machines.")]
PORT = Annotated[int, typer.Option(help="Where the workbench listens; 0 takes any free port.")]
BROWSER = Annotated[bool, typer.Option("--browser/--no-browser", help="Open a browser where there is a screen.")]


@app.callback(invoke_without_command=True)
def about(version: Annotated[bool, typer.Option("--version", help="Print the version and end.")] = False) -> None:
    """Read a line file, account for its time, floor, material and money, and see what is out of place."""
    if version:
        from pullwright import __version__

        print(f"pullwright {__version__}")
        raise typer.Exit


@app.command()
def check(line: LineFile, as_json: AsJson = False) -> None:
    """Read a line file and say everything that is wrong with it, or what was found on the line."""
    survey = _survey(line, as_json=as_json)
    flow = survey.flow
    if as_json:
        found = [
            {"place": one.place, "word": one.word, "sentence": one.sentence, "figure": one.figure.name}
            for one in survey.findings
        ]
        print_json(
            {"line": survey.line.line, "keeps_up": flow.keeps_up, "sentence": survey.sentence, "out_of_place": found}
        )
    else:
        with _printing() as console:
            console.print(
                f"{survey.line.line}: {_many(len(survey.line.steps), 'step')} at {_many(len(flow.stations), 'station')}, "
                f"{_many(len(survey.line.products), 'product')}.",
                highlight=False,
                markup=False,
            )
            console.print(flow.verdict(), highlight=False, markup=False)
            for one in survey.findings:
                console.print(f"  {one.word}: {one.sentence}", highlight=False, markup=False, soft_wrap=True)
            if not survey.findings:
                console.print("Nothing is out of place.")
    if not flow.keeps_up:
        raise typer.Exit(1)


@app.command()
def account(
    line: LineFile,
    why: Annotated[
        str | None, typer.Option(metavar="NAME", help="Show why a figure is what it is, down to its sources.")
    ] = None,
    depth: Annotated[
        int | None, typer.Option(min=1, help="With --why: how many levels down; all, if nothing is said.")
    ] = None,
    names: Annotated[bool, typer.Option("--names", help="List the names of all figures.")] = False,
    as_json: AsJson = False,
) -> None:
    """Print the closed accounts of a line: hours, floor, material, money, and what propagation costs."""
    survey = _survey(line, as_json=as_json)
    currency = survey.line.currency
    if names:
        tell_names(list(survey.every_figure), as_json=as_json)
        return
    if why is not None:
        tell_why(survey.figure, why, currency, f"pullwright account {line} --names", depth=depth, as_json=as_json)
        return
    if as_json:
        print_json(_accounts_as_json(survey))
        return
    with _printing() as console:
        console.print(survey.sentence, highlight=False, markup=False)
        for one in survey.accounts.all():
            console.print()
            console.print(f"{one.title}: {one.whole.text(currency)}", markup=False, soft_wrap=True, style="italic")
            console.print(_table(one, currency))
            for note in one.notes:
                console.print(f"  {note}", highlight=False, markup=False)
        spread = survey.accounts.propagation
        console.print()
        console.print(_propagation(survey))
        if spread.note:
            console.print(f"  {spread.note}", highlight=False, markup=False)
        console.print(
            f'\nWhy any of it: pullwright account {line} --why "{survey.accounts.hours.rows[0].amount.name}"',
            highlight=False,
            markup=False,
            soft_wrap=True,
        )


@app.command()
def schema() -> None:
    """Print the JSON Schema of the line file, for editors that check while one types."""
    from pullwright.line.schema import line_schema

    print_json(line_schema())


@app.command("print")
def print_sheet(
    line: LineFile,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", "-o", metavar="FILE.pdf", help="Where to write it; beside the line file, if nothing is said."
        ),
    ] = None,
) -> None:
    """Print the line drawing and the accounts on one A3 sheet (PDF)."""
    survey = _survey(line)
    from pullwright.paper import PrintError, accounts_sheet

    target = out or line.with_suffix(".pdf")
    try:
        sheet = accounts_sheet(survey)
    except PrintError as error:
        stop(str(error))
    write_print(target, sheet, "--out")
    print(f"Printed to {target}")


@app.command()
def serve(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Holds the record; made with `mkdir`.")],
    port: PORT = 8480,
    host: Annotated[
        str, typer.Option(help="The address to listen at; this machine only, if nothing is said.")
    ] = "127.0.0.1",
    database: Annotated[
        str | None, typer.Option(metavar="URL", help="A PostgreSQL database instead of the file in the folder.")
    ] = None,
    certificate: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="A certificate (PEM): opens it over https, so that phones keep the stopwatch."
        ),
    ] = None,
    key: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="The key of the certificate (PEM), where it has a file of its own."),
    ] = None,
    browser: BROWSER = False,
) -> None:
    """Open the workbench over the record in a folder."""
    _serve(folder, port=port, host=host, browser=browser, database=database, certificate=certificate, key=key)


@app.command()
def demo(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="FOLDER", help="Where to keep the demo; a fresh temporary folder, if nothing is said."),
    ] = None,
    port: PORT = 8480,
    browser: BROWSER = True,
) -> None:
    """Open the workbench on our own scenario, a works that makes hand pumps (invented)."""
    import shutil
    import tempfile

    from pullwright.examples import EXAMPLES

    place = folder or Path(tempfile.mkdtemp(prefix="pullwright-demo-"))
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        stop(f"{place} cannot be made ({error.strerror or error}): name another folder.")
    try:
        _serve(place, port=port, browser=browser, start_with=EXAMPLES[0].key)
    except typer.Exit:
        if folder is None:
            shutil.rmtree(place, ignore_errors=True)
        raise
    print(f"The demo is kept in {place}")


@app.command()
def backup(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The folder of the record.")],
    to: Annotated[Path, typer.Argument(metavar="FILE", help="Where the copy goes; it must not exist yet.")],
) -> None:
    """Copy the record while it is in use."""
    from pullwright.record import Record, RecordError
    from pullwright.web.serve import RECORD_FILE

    if not (folder / RECORD_FILE).is_file():
        stop(f"there is no record in {folder}: name the folder that `pullwright serve` was given.")
    try:
        with Record.open(folder / RECORD_FILE) as record:
            record.backup(to)
    except RecordError as error:
        stop(str(error))
    print(f"Copied to {to}")


balance.register(app)
forecast.register(app)
plan.register(app)
rest.register(app)
log.register(app)
study.register(app)


def main() -> None:
    """Run a command; Ctrl-C ends it without a traceback and leaves nothing half-written."""
    try:
        app()
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        raise SystemExit(130) from None
    except BrokenPipeError:
        # The reader of our output has had enough; that is no fault.
        sys.stderr.close()
        raise SystemExit(0) from None


def _survey(path: Path, *, as_json: bool = False) -> Survey:
    from pullwright.survey import survey_of

    return survey_of(read_line(path, as_json=as_json))


def _serve(
    folder: Path,
    *,
    port: int,
    browser: bool,
    host: str = "127.0.0.1",
    database: str | None = None,
    start_with: str = "",
    certificate: Path | None = None,
    key: Path | None = None,
) -> None:
    from pullwright.examples import EXAMPLES
    from pullwright.web.serve import CannotServe
    from pullwright.web.serve import serve as open_workbench

    try:
        open_workbench(
            folder,
            host,
            port,
            browser,
            examples=EXAMPLES,
            record=database,
            start_with=start_with,
            certificate=certificate,
            key=key,
        )
    except CannotServe as error:
        stop(str(error))


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


@contextmanager
def _printing() -> Iterator[Console]:
    """A console whose tables keep their width when the output goes into a file."""
    from rich.console import Console

    yield Console(width=None if sys.stdout.isatty() else 120, highlight=False)


def _table(one: Account, currency: str) -> Any:
    from rich.table import Table
    from rich.text import Text

    sampled = any(row.seen for row in one.rows)
    table = Table(box=None, pad_edge=False)
    for heading, side in (
        ("", "left"),
        ("amount", "right"),
        ("", "left"),
        ("share", "right"),
        *((("sampled", "right"),) if sampled else ()),
    ):
        table.add_column(heading, justify=side, no_wrap=bool(heading))
    for row in one.rows:
        value, unit, interval = row.amount.parts(currency)
        seen = (row.seen.short() if row.seen else "",) if sampled else ()
        table.add_row(
            Text(row.words),
            f"{value} {unit}",
            Text(f"({interval})" if interval else "", style="dim"),
            row.share.short(),
            *seen,
        )
    return table


def _propagation(survey: Survey) -> Any:
    from rich.table import Table
    from rich.text import Text

    spread, currency = survey.accounts.propagation, survey.line.currency
    whom = f"{spread.multiple.short()} times this line, over {spread.years.short()}, worth today"
    table = Table(
        title=Text(f"If today's way is signed off for everybody ({whom})"),
        title_justify="left",
        box=None,
        pad_edge=False,
    )
    for heading, side in (("", "left"), ("here, a year", "right"), ("everywhere", "right"), ("", "left")):
        table.add_column(heading, justify=side)  # type: ignore[arg-type]
    for row in spread.rows:
        value, unit, interval = row.everywhere.parts(currency)
        table.add_row(
            Text(row.words),
            row.here.short(currency),
            f"{value} {unit}",
            Text(f"({interval})" if interval else "", style="dim"),
        )
    table.add_row("all of it", "", spread.total.short(currency), "")
    table.add_row("a tenth less waste before signing is worth", "", spread.tenth.short(currency), "")
    return table


def _accounts_as_json(survey: Survey) -> dict[str, Any]:
    from pullwright.figure.as_plain import as_plain

    currency = survey.line.currency

    def figure(one: Figure) -> dict[str, Any]:
        return as_plain(one, currency)

    accounts = [
        {
            "key": one.key,
            "title": one.title,
            "whole": figure(one.whole),
            "rows": [
                {"key": row.key, "words": row.words, "kind": row.kind, "amount": figure(row.amount), "share": figure(row.share), "sampled": figure(row.seen) if row.seen else None}
                for row in one.rows
            ],
            "notes": list(one.notes),
        }
        for one in survey.accounts.all()
    ]  # fmt: skip
    spread = survey.accounts.propagation
    return {
        "line": survey.line.line,
        "sentence": survey.sentence,
        "currency": currency,
        "accounts": accounts,
        "propagation": {
            "rows": [{"kind": row.kind, "words": row.words, "here": figure(row.here), "everywhere": figure(row.everywhere)} for row in spread.rows],
            "total": figure(spread.total),
            "tenth": figure(spread.tenth),
        },
    }  # fmt: skip


if __name__ == "__main__":
    main()

"""`pullwright study`: what a time study in a file says."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pullwright.commands.terminal import print_json, stop

if TYPE_CHECKING:
    from rich.console import Console

    from pullwright.figure import Figure
    from pullwright.watch.study.result import StudyResult


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("study")(study)


def study(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A time study as CSV.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for machines.")] = False,
    why: Annotated[
        str | None, typer.Option("--why", metavar="NAME", help="Show why a figure is what it is, down to its readings.")
    ] = None,
    names: Annotated[bool, typer.Option("--names", help="List the names of all figures.")] = False,
    to_csv: Annotated[
        Path | None, typer.Option("--to-csv", metavar="FILE", help="Write the study as CSV, one row a reading.")
    ] = None,
) -> None:
    """Say what a time study says: basic and standard times, drift, and how many more readings are worth taking."""
    from pullwright.watch.study.faults import StudyError, StudyFileError
    from pullwright.watch.study.file_report import study_file_report

    try:
        result = study_file_report(file)
    except StudyFileError as error:
        if as_json:
            print_json({"file": str(file), "faults": [fault.as_dict() for fault in error.faults]})
        stop(str(error))
    except StudyError as error:
        stop(f"{file}: {error}")
    except IsADirectoryError:
        stop(f"{file} is a folder: name the file of a study in it.")
    except OSError as error:
        stop(f"{file} cannot be read ({error.strerror or error}): name a study, such as examples/assemble_study.csv.")
    if to_csv is not None:
        _write(result, to_csv)
    elif names:
        listed = list(result.figures)
        print_json(listed) if as_json else print("\n".join(listed))
    elif why is not None:
        try:
            answer = result.figure(why).why()
        except StudyError as error:
            stop(f"{error}\nAll names: pullwright study {file} --names")
        print_json(answer.as_dict()) if as_json else print(answer)
    elif as_json:
        from pullwright.watch.study.plain import study_as_plain

        print_json(study_as_plain(result))
    else:
        _show(result, file)


def _write(result: StudyResult, to: Path) -> None:
    from pullwright.watch.study.csv_file import write_csv

    beside = to.with_name(f".{to.name}.part")
    try:
        beside.write_text(write_csv(result.sheet), "utf-8", newline="")
        beside.replace(to)
    except OSError as error:
        beside.unlink(missing_ok=True)
        stop(f"{to} could not be written ({error.strerror or error}): name another place with --to-csv.")
    print(f"Written to {to}")


def _show(result: StudyResult, file: Path) -> None:
    from rich.console import Console

    console = Console(width=None if sys.stdout.isatty() else 120, highlight=False)
    sheet = result.sheet
    _say(console, f"{sheet.name}{': ' + sheet.of if sheet.of else ''}")
    _say(console, result.found)
    _elements(console, result)
    if result.account:
        _account(console, result)
    console.print()
    for one in result.elements:
        if one.timing.enough:
            _say(console, f"{one.element.what}: {one.timing.enough.sentence()}")
    if result.cycle.timing.enough:
        _say(console, f"whole cycles: {result.cycle.timing.enough.sentence('cycle')}")
    if result.sentences:
        console.print()
    for sentence in result.sentences:
        _say(console, sentence)
    shapes = [(one.element.what, one.timing.shape) for one in result.elements if one.timing.shape]
    if shapes:
        console.print()
    for what, shape in shapes:
        _say(console, f"{what}: {shape.sentence}.")
    for words, readings, share in (
        ("foreign", result.foreign, result.foreign_share),
        ("set aside", result.aside, result.aside_share),
    ):
        if readings and share:
            console.print()
            _say(console, f"{words}: {len(readings)} of {len(sheet.readings)} readings, {share.short()} of the time")
            for reading in readings[:20]:
                why = reading.aside or reading.note
                said = f", {why}" if why else ""
                _say(console, f"  cycle {reading.cycle}: {reading.seconds:g} s{said} ({reading.where})")
    if result.cycle.standard:
        _say(console, f'\nWhy any of it: pullwright study {file} --why "standard time of a cycle"')


def _elements(console: Console, result: StudyResult) -> None:
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False)
    for heading in ("", "read", "observed", "cv", "rating", "basic", "allowances", "standard"):
        table.add_column(heading, justify="right" if heading else "left")
    for one in result.elements:
        every = f", once in {one.element.every} cycles" if one.element.every > 1 else ""
        table.add_row(
            Text(f"{one.element.what}{every}"),
            str(len(one.counted)),
            *map(_short, (one.observed, one.cv, one.rating, one.basic, one.allowance, one.standard)),
        )
    cycle = result.cycle
    table.add_row(
        "a cycle",
        str(len(cycle.timing.seconds)),
        *map(_short, (cycle.observed, cycle.cv, None, cycle.basic, None, cycle.standard)),
    )
    console.print()
    console.print(table)


def _account(console: Console, result: StudyResult) -> None:
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False)
    for heading in ("basic time of a cycle", "amount", "share", "elements"):
        table.add_column(heading, justify="right" if heading in ("amount", "share") else "left")
    for row in result.account:
        table.add_row(Text(row.words), row.amount.short(), row.share.short(), Text(", ".join(row.elements)))
    console.print()
    console.print(table)


def _short(figure: Figure | None) -> str:
    return figure.short() if figure is not None else ""


def _say(console: Console, text: str) -> None:
    console.print(text, highlight=False, markup=False, soft_wrap=True)

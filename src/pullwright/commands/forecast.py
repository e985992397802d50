"""`pullwright forecast`: what a line will do, with what it changes to do it differently, and how sure that is."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pullwright.commands.terminal import print_json, read_line, stop

if TYPE_CHECKING:
    from pullwright.figure import Figure
    from pullwright.forecast.compared import Compared
    from pullwright.forecast.forecast import Forecast

Told = Callable[[int, int], None]
_OF_OPTION = "difference / "


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("forecast")(forecast)


def forecast(
    line: Annotated[Path, typer.Argument(metavar="LINE.yaml", help="A line file.")],
    option: Annotated[
        list[Path] | None,
        typer.Option("--option", metavar="FILE", help="Another way to do it, as a line file; again for more."),
    ] = None,
    days: Annotated[
        int | None,
        typer.Option(metavar="N", help="Working days that count; as the lead time asks, if nothing is said."),
    ] = None,
    runs: Annotated[
        int | None, typer.Option(metavar="N", help="Runs; as many as make it sure enough, if nothing is said.")
    ] = None,
    draws: Annotated[
        int | None, typer.Option(metavar="N", help="Draws of what is not known of the inputs; 40, if nothing is said.")
    ] = None,
    seed: Annotated[int, typer.Option(metavar="N", help="Chooses the luck.")] = 0,
    long_run: Annotated[
        bool, typer.Option("--long-run", help="Leave out how today's stock settles, instead of starting from it.")
    ] = False,
    quick: Annotated[bool, typer.Option("--quick", help="20 runs, and no draws of the inputs.")] = False,
    workers: Annotated[
        int | None, typer.Option(metavar="N", help="Threads; one for each processor, if nothing is said.")
    ] = None,
    why: Annotated[
        str | None,
        typer.Option(metavar="OUTCOME", help="Show why a number is what it is, down to its sources."),
    ] = None,
    names: Annotated[bool, typer.Option("--names", help="List the names of all numbers.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for machines.")] = False,
    find: Annotated[
        str | None,
        typer.Option(
            "--find",
            metavar="TEXT",
            help='Look for the smallest setting that keeps the promises: "fewest cards of form 1..12".',
        ),
    ] = None,
    promise: Annotated[
        list[str] | None,
        typer.Option(
            "--promise",
            metavar="TEXT",
            help='With --find, instead of those of the file: "on time 95 %"; again for more.',
        ),
    ] = None,
    confidence: Annotated[
        float, typer.Option(metavar="SHARE", help="With --find: how sure the answer is to be.")
    ] = 0.95,
    dask: Annotated[
        str | None, typer.Option(metavar="ADDRESS", help="With --find: let the workers of this Dask scheduler run.")
    ] = None,
    keep: Annotated[
        Path | None, typer.Option(metavar="FILE", help="With --find: keep the runs in this file, and go on from them.")
    ] = None,
) -> None:
    """Run a line many times: how much, how soon, how reliably, with what stock and floor, and how sure that is."""
    from pullwright.forecast.compared import compared
    from pullwright.forecast.errors import CannotRun, TooMuch
    from pullwright.forecast.forecast import forecast_of

    if find is not None:
        from pullwright.commands.find import Asked
        from pullwright.commands.find import find as look_for

        asked = Asked(find, promise or (), days, seed, confidence, workers, dask, keep)
        look_for(read_line(line, as_json=as_json), asked, as_json=as_json)
        return
    if quick:
        runs, draws = 20 if runs is None else runs, 0 if draws is None else draws
    today_line, option_lines = (
        read_line(line, as_json=as_json),
        [(path, read_line(path, as_json=as_json)) for path in option or ()],
    )
    running = line
    try:
        with _progress(line.name) as told:
            today = forecast_of(
                today_line, days=days, runs=runs, draws=draws, seed=seed, workers=workers, long_run=long_run, progress=told
            )  # fmt: skip
        options = []
        for running, one in option_lines:
            with _progress(running.name) as told:
                other = forecast_of(one, like=today, workers=workers, progress=told)
            options.append((running.name, compared(today, other)))
    except (CannotRun, TooMuch) as error:
        stop(f"{running}: {error}")
    except ValueError as error:
        stop(f"--{error}" if str(error).startswith(_OPTIONS) else str(error))
    if names:
        listed = [*today.outcomes, *(_OF_OPTION + name for _, one in options[:1] for name in one.differences)]
        print_json(listed) if as_json else print("\n".join(listed))
    elif why is not None:
        _why(why, today, options, line, as_json)
    elif as_json:
        from pullwright.forecast.as_plain import forecast_as_plain

        print_json(forecast_as_plain(today, options))
    else:
        from pullwright.commands.forecast_tables import show

        show(today, options, str(line))
    if not today.keeps_up:
        raise typer.Exit(1)


_OPTIONS = ("days of", "runs of", "draws of", "seed of", "workers of")
"""How messages about a number begin that was given as an option of this name."""


def _why(name: str, today: Forecast, options: list[tuple[str, Compared]], line: Path, as_json: bool) -> None:
    from pullwright.forecast.forecast import UnknownOutcome

    try:
        if name.startswith(_OF_OPTION) and options:
            found: Figure = options[0][1][name.removeprefix(_OF_OPTION)].difference.figure
        else:
            found = today[name].figure
    except UnknownOutcome as error:
        stop(f"{error}\nAll names: pullwright forecast {line} --names")
    answer = found.why(currency=today.line.currency)
    print_json(answer.as_dict()) if as_json else print(answer)


@contextmanager
def _progress(what: str) -> Iterator[Told | None]:
    """Shows how many runs are done; only where somebody looks on."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("runs"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(f"Running {what}", total=None)
        yield lambda done, whole: bar.update(task, completed=done, total=whole)

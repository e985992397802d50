"""`pullwright rest`: the rest of today anew, when an order comes in or falls away, or pieces are lost."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from urllib.parse import parse_qsl

import typer

from pullwright.commands.chapters import chapter_json, say, show_chapter
from pullwright.commands.terminal import print_json, stop, tell_names, tell_why, write_print
from pullwright.commands.wished import wished_line

if TYPE_CHECKING:
    from pullwright.line import Line
    from pullwright.pull.sequence.rest import Rest
    from pullwright.survey.planned.rest import ToldRest


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("rest")(rest)


def rest(
    line: Annotated[Path, typer.Argument(metavar="LINE.yaml", help="A line file.")],
    now: Annotated[
        str,
        typer.Option(
            metavar="TIME",
            help="The time now, such as 10:20; the pieces done took the takt planned, if nothing is said.",
        ),
    ] = "",
    done: Annotated[
        list[str] | None,
        typer.Option(
            metavar="N or PRODUCT=N",
            help="Pieces of the sequence that are finished: how many of it, or by product; again for more products.",
        ),
    ] = None,
    started: Annotated[str, typer.Option(metavar="N", help="How many of the next pieces are started and stay.")] = "",
    asked: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PRODUCT=N", help="Asked for today all in all: 15, or '6 more', '2 fewer'; again for more products."
        ),
    ] = None,
    lost: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PRODUCT=N", help="Finished pieces that are lost and made again; again for more products."
        ),
    ] = None,
    on: Annotated[
        str, typer.Option(metavar="PRODUCT", help="The product made last, where the sequence does not say it.")
    ] = "",
    until: Annotated[
        str, typer.Option(metavar="TIME", help="When work ends today, such as 15:30; as every day, if nothing is said.")
    ] = "",
    before: Annotated[
        list[str] | None,
        typer.Option(
            metavar="QUERY",
            help='An earlier plan of today, as "now=10:20&done=12&asked.P-40=15"; again for more, in their order.',
        ),
    ] = None,
    wish: Annotated[
        list[str] | None,
        typer.Option("--wish", metavar="NAME=TEXT", help="A wish, as `pullwright plan` takes it; again for more."),
    ] = None,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", metavar="FILE.pdf", help="Print the rest of today on one page of A4 (PDF).")
    ] = None,
    why: Annotated[
        str | None, typer.Option(metavar="NAME", help="Show why a number is what it is, down to its sources.")
    ] = None,
    names: Annotated[bool, typer.Option("--names", help="List the names of all numbers.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for machines.")] = False,
) -> None:
    """Plan the rest of today anew: an order came in or fell away, or pieces were lost. Ends with 1 where not all of it fits."""
    typed = {"now": now, "started": started, "on": on, "until": until}
    typed |= (
        _by_product("done", done or [], whole=True)
        | _by_product("asked", asked or [])
        | _by_product("lost", lost or [])
    )
    read, _ = wished_line(line, wish or [], as_json)
    told = _told(read, typed, before or [], as_json)
    if names:
        tell_names(list(told.figures), as_json=as_json)
        return
    if why is not None:
        tell_why(told.figure, why, read.currency, f"pullwright rest {line} ... --names", as_json=as_json)
        return
    if pdf is not None:
        _print_out(pdf, told)
    if as_json:
        day = told.rest.day
        print_json(
            {"line": read.line, "currency": read.currency, "sequence": list(day.sequence), "done": day.done, "left_over": day.left_over, "part": chapter_json(told.chapter, read.currency)}
        )  # fmt: skip
    else:
        _show(told, read.currency)
    if not told.rest.fits:
        raise typer.Exit(1)


def _by_product(field: str, given: list[str], *, whole: bool = False) -> dict[str, str]:
    """What is said of each product, by the names of fields; `whole`: a number alone is one of all products."""
    typed: dict[str, str] = {}
    for one in given:
        name, equal, said = one.rpartition("=")
        if not equal and not whole:
            stop(f'--{field} {one!r} was read; allowed: PRODUCT=N, such as --{field} "P-40=15"')
        key = f"{field}.{name.strip()}" if equal else field
        if key in typed:
            stop(f"--{field} {one!r} was read, and {typed[key]!r} for the same before; give it once.")
        typed[key] = said
    return typed


def _told(line: Line, typed: dict[str, str], before: list[str], as_json: bool) -> ToldRest:
    """The rest, told; what cannot be is said, and the program ends with status 2."""
    from pullwright.pull.errors import BadPlanInput, NoSuchPlan
    from pullwright.pull.plan import plan_of
    from pullwright.pull.sequence.rest import rest_of
    from pullwright.pull.sequence.typed_rest import BadRest, is_about_rest
    from pullwright.survey import survey_of
    from pullwright.survey.planned.rest import ToldRest

    try:
        plan = plan_of(survey_of(line).accounts)
        stood: Rest | None = None
        for one in before:
            fields = dict(parse_qsl(one, keep_blank_values=True))
            strange = [name for name in fields if not is_about_rest(name)]
            if strange or not fields:
                stop(
                    f"--before {one!r} was read; allowed: what the address of the page holds, such as now=10:20&done=12&asked.P-40=15"
                )
            stood = rest_of(plan.flow, stood or plan.day, fields)
        return ToldRest(rest_of(plan.flow, stood or plan.day, typed))
    except BadRest as error:
        if as_json:
            print_json({"wrong": error.wrong})
        stop("\n".join(f"--{_option(field)}: {said}." for field, said in error.wrong.items()))
    except (BadPlanInput, NoSuchPlan) as error:
        stop(f"There is no sequence of today to plan anew: {error}")


def _option(field: str) -> str:
    kind, dot, name = field.partition(".")
    return f"{kind} {name}" if dot else kind


def _print_out(pdf: Path, told: ToldRest) -> None:
    from pullwright.paper import PrintError, rest_sheet

    try:
        write_print(pdf, rest_sheet(told), "--pdf")
    except PrintError as error:
        stop(str(error))


def _show(told: ToldRest, currency: str) -> None:
    from rich.console import Console

    console = Console(width=None if sys.stdout.isatty() else 140, highlight=False)
    show_chapter(console, told.chapter, currency, whole=False)
    name = next((figure.name for figure in told.chapter.figures()), "")
    if name:
        say(console, f'\nWhy any of it: the same command with --why "{name}"')

"""`pullwright plan`: the pull plan of a line, part by part, with its wishes, its why, and a line file of the plan for the forecast."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pullwright.commands.chapters import chapter_json, say, show_chapter
from pullwright.commands.terminal import print_json, stop, tell_names, tell_why, write_print
from pullwright.commands.wished import wished_line

if TYPE_CHECKING:
    from pullwright.line import Line
    from pullwright.survey.planned.chapter import Chapter
    from pullwright.survey.planned.planned import Planned


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("plan")(plan)


def plan(
    line: Annotated[Path, typer.Argument(metavar="LINE.yaml", help="A line file.")],
    wish: Annotated[
        list[str] | None,
        typer.Option(
            "--wish",
            metavar="NAME=TEXT",
            help='A wish, such as "balance.posts=8"; again for more, empty to take one back.',
        ),
    ] = None,
    wishes: Annotated[bool, typer.Option("--wishes", help="List what may be wished, and how it is typed.")] = False,
    part: Annotated[
        list[str] | None,
        typer.Option("--part", metavar="PART", help="Show this part of the plan alone, such as cards; again for more."),
    ] = None,
    people: Annotated[
        str | None,
        typer.Option(
            "--people",
            metavar="A..B",
            help="With A to B people: the shortest takt that each number can keep, and where efficiency is best.",
        ),
    ] = None,
    as_line: Annotated[
        Path | None,
        typer.Option(
            "--as-line",
            metavar="FILE.yaml",
            help="Write the line as planned into this file, for `pullwright forecast --option`: cards and deliveries, or the parts named by --part.",
        ),
    ] = None,
    pdf: Annotated[
        Path | None,
        typer.Option("--pdf", metavar="FILE.pdf", help="Print the plan on one page to hang up, A3 (PDF)."),
    ] = None,
    a4: Annotated[bool, typer.Option("--a4", help="Print it on A4 instead, with less of it.")] = False,
    cards: Annotated[
        Path | None,
        typer.Option("--cards", metavar="FILE.pdf", help="Print the cards to be cut out, eight to a page of A4 (PDF)."),
    ] = None,
    why: Annotated[
        str | None, typer.Option(metavar="NAME", help="Show why a number is what it is, down to its sources.")
    ] = None,
    names: Annotated[bool, typer.Option("--names", help="List the names of all numbers.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for machines.")] = False,
) -> None:
    """Print the pull plan of a line: posts, cards, lots, deliveries, today's sequence, people, and whether it fits."""
    if wishes:
        _wishes(as_json)
        return
    read, text = wished_line(line, wish or [], as_json)
    planned = _planned(read)
    currency = read.currency
    if people is not None:
        _more_or_fewer(planned, people, currency, str(line), why=why, names=names, as_json=as_json)
        return
    if names:
        tell_names(list(planned.figures), as_json=as_json)
        return
    if why is not None:
        tell_why(planned.figure, why, currency, f"pullwright plan {line} --names", as_json=as_json)
        return
    try:
        chapters = [planned.chapter(key) for key in part] if part else list(planned.chapters)
    except ValueError as error:
        stop(str(error))
    if as_line is not None:
        _write(as_line, text, planned, [chapter.key for chapter in chapters] if part else None)
    _print_out(planned, pdf, cards, wished="; ".join(wish or []), a4=a4)
    if as_json:
        print_json(_as_json(planned, chapters, currency))
    else:
        _show(planned, chapters, str(line), currency, whole=bool(part))
    if any(chapter.refused for chapter in chapters):
        raise typer.Exit(1)


def _wishes(as_json: bool) -> None:
    from pullwright.pull.wished import WISHES

    if as_json:
        print_json([{"name": wish.name, "says": wish.says, "like": wish.like} for wish in WISHES])
        return
    wide = max(len(wish.name) for wish in WISHES)
    for wish in WISHES:
        print(
            f"{wish.name:<{wide}}  {wish.says}, such as: {wish.like}" + ("; | between entries" if wish.several else "")
        )


def _planned(line: Line) -> Planned:
    from pullwright.pull.plan import plan_of
    from pullwright.survey import survey_of
    from pullwright.survey.planned.planned import Planned

    return Planned(plan_of(survey_of(line).accounts))


def _more_or_fewer(planned: Planned, asked: str, currency: str, file: str, *, why: str | None, names: bool, as_json: bool) -> None:  # fmt: skip
    """Number after number of people, in place of the plan."""
    from pullwright.pull.errors import BadPlanInput
    from pullwright.survey.planned.more_or_fewer import checked_range, told_range

    found = re.fullmatch(r"\s*(\d{1,6})\s*\.\.\s*(\d{1,6})\s*", asked)
    try:
        if found is None:
            raise BadPlanInput(f"{asked!r} was read; allowed: two numbers such as 4..10")
        told = told_range(planned.plan, checked_range(int(found[1]), int(found[2])))
    except BadPlanInput as error:
        stop(f"--people: {error}")
    if names:
        tell_names(list(told.figures), as_json=as_json)
    elif why is not None:
        tell_why(told.figure, why, currency, f"pullwright plan {file} --people {asked} --names", as_json=as_json)
    elif as_json:
        print_json({"line": planned.plan.line.line, "sentence": told.chapter.sentence, "currency": currency, "parts": [chapter_json(told.chapter, currency)]})  # fmt: skip
    else:
        _show_chapters([told.chapter], currency, whole=True)
        print(f'\nWhy any of it: pullwright plan {file} --people {asked} --why "{next(iter(told.figures))}"')


def _write(path: Path, text: str, planned: Planned, parts: list[str] | None) -> None:
    """Write the line as planned; nothing is written where that cannot be read again, or a file is there already."""
    from pullwright.line import Line, LineFileError
    from pullwright.line.edit import EditError
    from pullwright.pull.changes import applied

    try:
        new = applied(text, planned.changes if parts is None else planned.changes_of(parts))
        Line.from_text(new)
    except (EditError, LineFileError) as error:
        stop(f"The plan cannot be written as a line file: {error}")
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(new)
    except FileExistsError:
        stop(f"{path} is there already: name a file that is not, or move it away.")
    except OSError as error:
        stop(f"{path} cannot be written ({error.strerror or error}): name a file in a folder that can be written.")


def _print_out(planned: Planned, pdf: Path | None, cards: Path | None, *, wished: str, a4: bool) -> None:
    """Print the plan and its cards into these files, as far as they are named."""
    if a4 and pdf is None:
        stop("--a4 was read without --pdf; allowed: --pdf FILE.pdf --a4.")
    if pdf is None and cards is None:
        return
    from pullwright.paper import PrintError, card_sheet, plan_sheet
    from pullwright.pull.cards.card import faces
    from pullwright.pull.errors import BadPlanInput, NoSuchPlan

    line = planned.plan.line
    try:
        if pdf is not None:
            write_print(pdf, plan_sheet(planned, paper="a4" if a4 else "a3", wished=wished), "--pdf")
        if cards is not None:
            hung = faces(planned.plan.cards.hung)
            if not hung:
                stop("--cards: this plan has no cards to print; `pullwright plan LINE.yaml --part cards` says why.")
            write_print(cards, card_sheet(hung, line=line.line, invented=line.invented), "--cards")
    except (BadPlanInput, NoSuchPlan) as error:
        stop(f"--cards: there are no cards to print. {error}")
    except PrintError as error:
        stop(str(error))


def _show(planned: Planned, chapters: list[Chapter], file: str, currency: str, *, whole: bool) -> None:
    from rich.console import Console

    console = Console(width=None if sys.stdout.isatty() else 140, highlight=False)
    if not whole:
        say(console, planned.sentence)
    _show_chapters(chapters, currency, whole=whole)
    name = next((figure.name for chapter in chapters for figure in chapter.figures()), "")
    if name:
        say(console, f'\nWhy any of it: pullwright plan {file} --why "{name}"')
    say(
        console,
        f"In the forecast: pullwright plan {file} --as-line planned.yaml, then pullwright forecast {file} --option planned.yaml",
    )


def _show_chapters(chapters: list[Chapter], currency: str, *, whole: bool) -> None:
    from rich.console import Console

    console = Console(width=None if sys.stdout.isatty() else 140, highlight=False)
    for chapter in chapters:
        if chapter is not chapters[0] or not whole:
            console.print()
        show_chapter(console, chapter, currency, whole=whole)


def _as_json(planned: Planned, chapters: list[Chapter], currency: str) -> dict[str, Any]:
    from pullwright.survey.planned.chapters import PARTS

    return {
        "line": planned.plan.line.line,
        "sentence": planned.sentence
        if len(chapters) == len(PARTS)
        else " ".join(chapter.refused or chapter.sentence for chapter in chapters),
        "currency": currency,
        "parts": [chapter_json(chapter, currency) for chapter in chapters],
    }

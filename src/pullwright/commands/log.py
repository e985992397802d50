"""`pullwright log`: from a shop's own log to its story and a drafted line file."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pullwright.commands.terminal import stop

if TYPE_CHECKING:
    from pullwright.watch.log.decide import Decided
    from pullwright.watch.log.draft import Draft
    from pullwright.watch.log.events import Events, Oddity
    from pullwright.watch.log.plan import ColumnPlan
    from pullwright.watch.log.raw import RawLog
    from pullwright.watch.log.story import Story

PARTS = (
    "columns", "oddities", "calendar", "way", "lead", "steps", "stations", "bottleneck", "wip", "yields", "breakdowns",
    "demand", "people", "next",
)  # fmt: skip
"""The parts of what is printed, in their order; `--only` takes one of them."""


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("log")(log)


def log(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A log: CSV, XLSX, Parquet or XES.")],
    mapped: Annotated[
        list[str] | None,
        typer.Option(
            "--map",
            metavar="ROLE=COLUMN",
            help="Which column is for what, such as case=Order; again for more. ROLE= alone: none.",
        ),
    ] = None,
    means: Annotated[
        list[str] | None,
        typer.Option("--means", metavar="VALUE=KIND", help="What a word of the log means: run, set-up, down, other."),
    ] = None,
    day_first: Annotated[
        bool | None, typer.Option("--day-first/--month-first", help="How 03/04/2026 is to be read.")
    ] = None,
    zone: Annotated[
        str | None, typer.Option(metavar="ZONE", help="The time zone of the shop, such as Europe/Berlin.")
    ] = None,
    sheet: Annotated[str | None, typer.Option(metavar="NAME", help="Which sheet of a workbook.")] = None,
    decide: Annotated[
        list[str] | None,
        typer.Option(
            "--decide", metavar="ODDITY=CHOICE", help="What to do about something odd, as the report names it."
        ),
    ] = None,
    as_written: Annotated[
        bool, typer.Option("--as-written", help="Keep steps apart that differ only by the machine in their name.")
    ] = False,
    draft: Annotated[Path | None, typer.Option(metavar="LINE.yaml", help="Write a drafted line file here.")] = None,
    name: Annotated[str, typer.Option(help="What the drafted line is called.")] = "",
    force: Annotated[bool, typer.Option("--force", help="Write the draft over a file that is there.")] = False,
    only: Annotated[str | None, typer.Option(metavar="PART", help=f"Print one part: {', '.join(PARTS)}.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for machines.")] = False,
) -> None:
    """Read a shop's own log: how it was understood, what is odd in it, the story of the shop, a drafted line file."""
    from pullwright.watch.log.draft import DraftError, draft_line
    from pullwright.watch.log.faults import LogError

    if only is not None and only not in PARTS:
        stop(f"--only {only}: there is no such part; allowed: {', '.join(PARTS)}.")
    if draft is not None and draft.exists() and not force:
        stop(f"{draft} is there already and was left as it is: name another file, or add --force to write over it.")
    try:
        with _working(f"Reading {file.name}"):
            raw, plan, events = _read(file, sheet, mapped, means, day_first, zone)
        if only == "columns" and draft is None:
            _columns(raw, plan, as_json)
            return
        with _working("Looking at what is odd"):
            decided, merged, oddities = _decided(events, decide, as_written)
        with _working("Telling the story"):
            story = None if only == "oddities" and draft is None else _story(decided)
        drafted = None
        if draft is not None and story is not None:
            with _working("Drafting the line"):
                drafted = draft_line(story, decided, name=name)
    except LogError as error:
        stop(str(error))
    except DraftError as error:
        stop(str(error))
    if drafted is not None and draft is not None:
        _write(drafted.text, draft)
    if as_json:
        print(
            json.dumps(
                {**_as_json(raw, plan, decided, oddities, merged, story, only), **_draft_json(drafted, draft)},
                ensure_ascii=False,
                indent=2,
                allow_nan=False,
            )
        )
        return
    _print(raw, plan, decided, oddities, merged, story, only)
    if drafted is not None and draft is not None:
        _told(drafted, draft)


def _read(
    file: Path, sheet: str | None, mapped: list[str] | None, means: list[str] | None, day_first: bool | None, zone: str | None
) -> tuple[RawLog, ColumnPlan, Events]:  # fmt: skip
    from pullwright.watch.log.convert import to_events
    from pullwright.watch.log.guess import guess_columns
    from pullwright.watch.log.reading import open_log

    raw = open_log(file, sheet=sheet)
    plan = guess_columns(raw)
    roles: dict[str, Any] = {}
    for role, column in _pairs(mapped, "--map", "ROLE=COLUMN"):
        roles[role] = tuple(column.split("+")) if "+" in column and column not in plan.columns else column
    plan = plan.with_roles(roles).with_meanings(dict(_pairs(means, "--means", "VALUE=KIND")))
    plan = plan.with_reading(day_first=day_first, zone=zone)
    return raw, plan, to_events(raw, plan)


def _pairs(given: list[str] | None, option: str, form: str) -> Iterator[tuple[str, str]]:
    for one in given or ():
        # The value of --means may hold an equals sign of its own; the kind and the role never do.
        left, sign, right = one.rpartition("=") if option == "--means" else one.partition("=")
        if not sign or not left:
            stop(f"{option} {one}: allowed is {form}.")
        yield left.strip(), right.strip()


def _write(text: str, to: Path) -> None:
    """Write the file whole or not at all."""
    beside = to.with_name(f".{to.name}.part")
    try:
        beside.write_text(text, "utf-8")
        beside.replace(to)
    except OSError as error:
        beside.unlink(missing_ok=True)
        stop(f"{to} could not be written ({error.strerror or error}): name another place with --draft.")
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _told(drafted: Draft, to: Path) -> None:
    print(f"\nDrafted to {to}.")
    for one in drafted.left_out:
        print(f"  left out: {one}")
    for one in drafted.to_fill_in:
        print(f"  to fill in: {one}")
    print(f"Next: pullwright check {to}")


@contextmanager
def _working(what: str) -> Iterator[None]:
    """Says what is going on while it takes long; only where somebody looks on."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    with Console(stderr=True).status(what):
        yield


def _print(
    raw: RawLog, plan: ColumnPlan, decided: Decided, oddities: tuple[Oddity, ...], merged: dict[str, str], story: Any, only: str | None
) -> None:  # fmt: skip
    from pullwright.commands.log_tables import CHAPTERS, console, print_columns, print_oddities

    out = console()
    if only in (None, "columns"):
        print_columns(out, raw, plan, merged)
    if only in (None, "oddities"):
        print_oddities(out, decided, oddities)
    for part, chapter in CHAPTERS.items():
        if only in (None, part):
            chapter(out, story)


def _decided(
    events: Events, given: list[str] | None, as_written: bool
) -> tuple[Decided, dict[str, str], tuple[Oddity, ...]]:
    """The log as the person decided, the steps that were taken together, and what is odd."""
    from pullwright.watch.log.decide import decide
    from pullwright.watch.log.faults import LogError
    from pullwright.watch.log.laid import Laid
    from pullwright.watch.log.looked import Looked
    from pullwright.watch.log.merging import machine_steps, merges_for
    from pullwright.watch.log.oddities import oddities

    log = Looked(Laid(events))
    found = (*events.read_oddities, *oddities(events, log))
    choices = {one.key: one.choices for one in found}
    wanted = dict(_pairs(given, "--decide", "ODDITY=CHOICE"))
    for key, choice in wanted.items():
        if key not in choices:
            raise LogError(
                f"--decide {key}={choice}",
                ", ".join(choices) or "nothing: nothing in this log is odd",
                file=events.file,
            )
        if choice not in choices[key]:
            raise LogError(f"--decide {key}={choice}", " or ".join(choices[key]), file=events.file)
    decided = decide(events, wanted, merges=merges_for(events, wanted, together=not as_written, log=log), log=log)
    return decided, {} if as_written else machine_steps(events), found


def _story(decided: Decided) -> Story:
    from pullwright.watch.log.story import story

    return story(decided).tell()


def _as_json(
    raw: RawLog, plan: ColumnPlan, decided: Decided, oddities: tuple[Oddity, ...], merged: dict[str, str], told: Story | None, only: str | None
) -> dict[str, Any]:  # fmt: skip
    from pullwright.commands.log_json import plain
    from pullwright.commands.log_tables import CHAPTERS, chapter_of

    parts: dict[str, Any] = {"file": raw.name, "form": raw.form, "noticed": list(raw.noticed)}
    if only in (None, "columns"):
        parts["columns"] = plan.as_dict()
        parts["steps_taken_together"] = merged
    if only in (None, "oddities"):
        parts["oddities"] = plain(oddities)
        parts.update(decided.as_dict())
        parts["rows"] = {"read": decided.source.table.height, "used": decided.events.table.height}
    for part in CHAPTERS:
        if told is not None and only in (None, part):
            parts[part] = plain(chapter_of(told, part))
    return parts


def _draft_json(drafted: Draft | None, to: Path | None) -> dict[str, Any]:
    if drafted is None:
        return {}
    return {"draft": {"file": str(to), "left_out": list(drafted.left_out), "to_fill_in": list(drafted.to_fill_in)}}


def _columns(raw: RawLog, plan: ColumnPlan, as_json: bool) -> None:
    """How the columns are understood, without looking any further."""
    from pullwright.commands.log_tables import console, print_columns

    if as_json:
        print(
            json.dumps(
                {"file": raw.name, "form": raw.form, "noticed": list(raw.noticed), "columns": plan.as_dict()},
                ensure_ascii=False,
                indent=2,
                allow_nan=False,
            )
        )
    else:
        print_columns(console(), raw, plan, {})

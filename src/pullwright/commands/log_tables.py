"""What `pullwright log` prints: sentences with the tables behind them, a chapter at a time."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from shlex import quote
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rich.console import Console

    from pullwright.watch.log.decide import Decided
    from pullwright.watch.log.events import Oddity
    from pullwright.watch.log.plan import ColumnPlan
    from pullwright.watch.log.raw import RawLog
    from pullwright.watch.log.story.measured import Measured

LONGEST = 25
"""So many rows of a table are printed; the JSON holds all of them."""


def console() -> Console:
    """A console whose tables keep their width when the output goes into a file."""
    from rich.console import Console

    return Console(width=None if sys.stdout.isatty() else 120, highlight=False, markup=False)


def print_columns(out: Console, raw: RawLog, plan: ColumnPlan, merged: Mapping[str, str]) -> None:
    """How the columns were understood, and how to correct it."""
    from pullwright.watch.log.roles import BY_ROLE

    rows = raw.table.height
    out.print(f"{raw.name}: {raw.form}, {rows:,} {'row' if rows == 1 else 'rows'}.")
    for one in raw.noticed:
        out.print(f"  {one}", soft_wrap=True)
    table = []
    for guess in plan.guesses:
        column = " + ".join(plan.roles.get(guess.role, ()))
        said = guess.reason if column == guess.column else "as you say" if column else "none"
        sure = f"{guess.confidence:.0%}" if column and column == guess.column else ""
        if column:
            table.append((guess.role, BY_ROLE[guess.role].words, column, sure, said))
    _table(
        out,
        ("role", "what it is", "column", "sure", "because"),
        table,
        right={3},
        title="How the columns are understood",
    )
    missing = [guess.role for guess in plan.guesses if guess.role not in plan.roles]
    if missing:
        out.print(f"  No column for: {', '.join(missing)}.", soft_wrap=True)
    for word, kind in plan.meanings.items():
        count = plan.kind_counts.get(word)
        out.print(f"  {plan.column('kind')} {word!r} is taken as {kind}" + (f" ({count:,} rows)." if count else "."))
    for question in plan.questions:
        out.print(f"  ? {question}", soft_wrap=True)
    if merged:
        steps = sorted(set(merged.values()))
        out.print(
            f"  {len(merged):,} steps differ only by the machine in their name and are taken as {len(steps):,}: {', '.join(steps[:8])}{' ...' if len(steps) > 8 else ''}. Keep them apart with --as-written.",
            soft_wrap=True,
        )
    out.print("  Not so? Say --map role=COLUMN, --means WORD=kind, --day-first or --month-first.", soft_wrap=True)


def print_oddities(out: Console, decided: Decided, oddities: Sequence[Oddity]) -> None:
    """What is odd in the log, what was done about it, and how to decide otherwise."""
    used, read = decided.events.table.height, decided.source.table.height
    out.print(f"\nWhat is odd ({used:,} of {read:,} rows are used)", style="italic")
    if not oddities:
        out.print("  Nothing.")
    for one in oddities:
        chosen = decided.decisions.get(one.key, one.choices[0] if one.choices else "")
        rows = ", ".join(map(str, one.rows[:8])) + (
            f" and {one.count - 8:,} more" if one.count > 8 and len(one.rows) >= 8 else ""
        )
        out.print(f"  {one.sentence}", soft_wrap=True)
        out.print(f"    {one.key}: rows {rows or 'none named'}; done: {chosen or 'nothing'}", soft_wrap=True)
        other = [choice for choice in one.choices if choice != chosen]
        if other:
            out.print(
                f"    or: {', '.join('--decide ' + quote(f'{one.key}={choice}') for choice in other)}", soft_wrap=True
            )


def span(seconds: float) -> str:
    """A span of time as people say it."""
    if seconds != seconds:
        return "-"
    for limit, unit, by in ((120, "s", 1), (7_200, "min", 60), (172_800, "h", 3_600)):
        if abs(seconds) < limit:
            return f"{seconds / by:.3g} {unit}"
    return f"{seconds / 86_400:.3g} d"


def hours(seconds: float) -> str:
    """Booked time in hours: days of 24 hours and working days would be taken for one another."""
    return f"{seconds / 3_600:,.3g} h"


def interval(one: Measured, write: Callable[[float], str]) -> str:
    """A number with its interval."""
    if not one.known:
        return "-"
    return write(one.value) + (
        f" ({write(one.low)} to {write(one.high)})" if one.low == one.low and one.low < one.high else ""
    )


def share(value: float) -> str:
    """A share in per cent."""
    return "-" if value != value else f"{value:.1%}" if 0 < value < 0.1 else f"{value:.0%}"


def plain(value: float) -> str:
    """A number with three digits that count."""
    return "-" if value != value else f"{value:.3g}"


def print_calendar(out: Console, story: Any) -> None:
    """When the shop works."""
    found = story.calendar
    _heading(out, "When the shop works", found.found)
    out.print(f"  Sure to {found.sure:.0%}." + "".join(f" {one}." for one in found.doubts), soft_wrap=True)


def print_way(out: Console, story: Any) -> None:
    """The ways through the shop."""
    way = story.way
    _heading(out, "The way through", way.found)
    _table(
        out,
        ("step", "orders", "share", "come back"),
        [(one.step, f"{one.cases:,}", share(one.share), share(one.again)) for one in way.order],
        right={1, 2, 3},
        title="Steps in their usual order",
    )
    _table(
        out,
        ("orders", "share", "way"),
        [(f"{one.cases:,}", share(one.share), " > ".join(one.steps)) for one in way.variants[:8]],
        right={0, 1},
        title="The commonest ways",
    )
    _table(
        out,
        ("back to", "from", "orders", "times"),
        [(one.step, one.after, f"{one.cases:,}", f"{one.times:,}") for one in way.repeats[:10]],
        right={2, 3},
        title="Loops",
    )


def print_lead(out: Console, story: Any) -> None:
    """Lead times."""
    lead = story.lead
    _heading(out, "How long an order takes", lead.found)
    rows = [
        (one.name or "all", f"{one.finished:,}", f"{one.open:,}", interval(one.mean_worked, plain), *(plain(dict(one.worked)[at].value) if at in dict(one.worked) else "-" for at in (0.5, 0.9)), share(one.touch_share))
        for one in (lead.all, *lead.products)
    ]  # fmt: skip
    _table(
        out,
        ("", "through", "open", "mean, working days", "half within", "90 % within", "work in it"),
        rows,
        right={1, 2, 3, 4, 5, 6},
    )


def print_steps(out: Console, story: Any) -> None:
    """Touch and waiting of each step."""
    _heading(out, "What each step takes", story.steps.found)
    rows = [
        (one.step, f"{one.visits:,}", span(one.touch.value), plain(one.touch_cv), interval(one.per_piece, span), span(one.waiting.value), interval(one.setup, span) if one.setup_from else "-", plain(one.lot.value))
        for one in story.steps.steps
    ]  # fmt: skip
    _table(
        out,
        ("step", "visits", "work", "cv", "a piece", "wait before", "set-up", "lot"),
        rows,
        right={1, 2, 3, 4, 5, 6, 7},
    )
    _heading(out, "Effective times, as the line feels them", story.effective.found)
    found = [
        (one.name, interval(one.lot, span), interval(one.cv, plain), str(one.machines), share(one.touch_share))
        for one in story.effective.stations
    ]
    _table(out, ("station", "a lot", "cv", "machines", "work in it"), found, right={1, 2, 3, 4})


def print_stations(out: Console, story: Any) -> None:
    """Load of each station."""
    _heading(out, "How loaded the stations are", story.stations.found)
    rows = [
        (
            one.station,
            f"{one.bookings:,}",
            hours(one.run),
            hours(one.setup),
            hours(one.down),
            share(one.utilisation),
            str(one.machines),
            share(one.outside),
        )
        for one in story.stations.stations
    ]
    _table(
        out,
        ("station", "bookings", "run", "set-up", "down", "at work", "machines", "out of hours"),
        rows,
        right=set(range(1, 8)),
    )


def print_bottleneck(out: Console, story: Any) -> None:
    """Where the bottleneck was."""
    found = story.bottlenecks
    _heading(out, "Where the bottleneck was", found.found)
    rows = [
        (
            one.week,
            one.station,
            f"{share(one.share)} ({share(one.low)} to {share(one.high)})",
            f"{one.second} {share(one.second_share)}" if one.second else "-",
            "yes" if one.clear else "no",
            one.waiting_station,
        )
        for one in found.weeks
    ]
    _table(out, ("week", "bottleneck", "of the time", "next", "clear", "most waits before"), rows)


def print_wip(out: Console, story: Any) -> None:
    """Work in process."""
    _heading(out, "What is in the shop", story.wip.found)
    _table(
        out, ("before", "orders waiting, mean"), [(step, plain(cases)) for step, cases in story.wip.before], right={1}
    )


def print_yields(out: Console, story: Any) -> None:
    """What comes out good."""
    _heading(out, "What comes out good", story.yields.found)
    rows = [
        (
            one.step,
            interval(one.first_pass, share),
            interval(one.scrap, share),
            interval(one.held, share),
            interval(one.rework, share),
        )
        for one in story.yields.steps
    ]
    _table(out, ("step", "good the first time", "scrap", "held", "done again"), rows, right={1, 2, 3, 4})


def print_breakdowns(out: Console, story: Any) -> None:
    """Breakdowns."""
    _heading(out, "Breakdowns", story.breakdowns.found)
    rows = [
        (
            one.station,
            f"{one.count:,}",
            hours(one.down),
            interval(one.repair, span),
            interval(one.between, span),
            share(one.availability),
        )
        for one in story.breakdowns.stations
    ]
    _table(out, ("station", "times", "lost", "repair", "running between", "available"), rows, right={1, 2, 3, 4, 5})


def print_demand(out: Console, story: Any) -> None:
    """Pieces a day."""
    _heading(out, "How many a day", story.demand.found)
    rows = [
        (
            one.product or "-",
            f"{one.cases_finished:,}",
            interval(one.finished, plain),
            plain(one.cv_finished),
            share(one.share),
        )
        for one in story.demand.products
    ]
    _table(out, ("product", "orders", f"{story.demand.unit} a working day", "cv", "share"), rows, right={1, 2, 3, 4})


def print_people(out: Console, story: Any) -> None:
    """How many people."""
    _heading(out, "People", story.people.found)


def print_next(out: Console, story: Any) -> None:
    """What to watch next."""
    _heading(out, "What to watch next", story.watch_next.found)
    for one in story.watch_next.items:
        out.print(f"  {one.what}: {one.why} {one.do}", soft_wrap=True)


CHAPTERS: dict[str, Callable[[Console, Any], None]] = {
    "calendar": print_calendar,
    "way": print_way,
    "lead": print_lead,
    "steps": print_steps,
    "stations": print_stations,
    "bottleneck": print_bottleneck,
    "wip": print_wip,
    "yields": print_yields,
    "breakdowns": print_breakdowns,
    "demand": print_demand,
    "people": print_people,
    "next": print_next,
}
"""The chapters of the story by the word that `--only` takes, in the order in which they are printed."""

_ATTRIBUTE = {"bottleneck": "bottlenecks", "next": "watch_next"}


def chapter_of(story: Any, part: str) -> Any:
    """The chapter of a story that `--only` calls so."""
    if part == "steps":
        return {"steps": story.steps, "effective": story.effective}
    return getattr(story, _ATTRIBUTE.get(part, part))


def _heading(out: Console, title: str, sentence: str) -> None:
    out.print(f"\n{title}", style="italic")
    out.print(f"  {sentence}", soft_wrap=True)


def _table(
    out: Console, headings: Sequence[str], rows: Iterable[Sequence[str]], *, right: set[int] | None = None, title: str = ""
) -> None:  # fmt: skip
    from rich.table import Table
    from rich.text import Text

    every = [tuple(row) for row in rows]
    if not every:
        return
    table = Table(box=None, pad_edge=True, title=Text(title, style="italic") if title else None, title_justify="left")
    for at, heading in enumerate(headings):
        table.add_column(heading, justify="right" if right and at in right else "left")
    for row in every[:LONGEST]:
        table.add_row(*map(Text, row))
    out.print(table)
    if len(every) > LONGEST:
        out.print(f"  and {len(every) - LONGEST:,} more rows: --json prints all of them")

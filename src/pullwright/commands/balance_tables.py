"""A balance as `pullwright balance` prints it: posts with bars against the takt, why not one fewer, or JSON."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pullwright.commands.terminal import print_json, stop

if TYPE_CHECKING:
    from rich.console import Console

    from pullwright.figure import Figure
    from pullwright.pull.balance.balance_figures import BalanceFigures
    from pullwright.pull.balance.of_line import LineBalance
    from pullwright.pull.balance.over_posts import AtPosts
    from pullwright.pull.balance.rounds_at_posts import WishedBalance

_WIDE = 30
"""So many signs of a bar are the takt."""


def tell(plan: WishedBalance, figures: BalanceFigures, line: LineBalance | None, file: Path, *, why: str | None, names: bool, as_json: bool) -> None:  # fmt: skip
    if names:
        listed = list(figures.all())
        print_json(listed) if as_json else print("\n".join(listed))
    elif why is not None:
        figure = figures.all().get(why)
        if figure is None:
            stop(f"there is no number {why!r} in this balance.\nAll names: pullwright balance {file} ... --names")
        answer = figure.why()
        print_json(answer.as_dict()) if as_json else print(answer)
    elif as_json:
        print_json(_plain(plan, figures, line))
    else:
        _show(plan, figures, line)


def _plain(plan: WishedBalance, figures: BalanceFigures, line: LineBalance | None) -> dict[str, Any]:
    from pullwright.figure.as_plain import as_plain

    posts = [
        {
            "post": k + 1, "crew": one.crew, "people": one.people, "round": as_plain(figures.rounds[k]), "load": as_plain(figures.loads[k]),
            "elements": [
                {"name": name, "seconds": figures.times[name].value, "starts": start, "person": who + 1, "back": name in one.back}
                for name, start, who in zip(one.elements, one.starts, one.who, strict=True)
            ],
        }
        for k, one in enumerate(plan.rounds)
    ]  # fmt: skip
    more: dict[str, Any] = {}
    if line is not None:
        more = {
            "beyond": list(line.beyond), "notes": list(line.notes), "today": list(line.today),
            "changes": [{"path": list(one.path), "written": one.written, "because": one.because} for one in line.changes],
        }  # fmt: skip
    return {
        "takt": as_plain(figures.takt), "posts": posts, "at_least": plan.at_least, "proven": plan.proven if plan.takt_at_least is None else plan.takt_proven, "takt_at_least": plan.takt_at_least, "reasons": list(plan.reasons), "by": plan.by,
        "work": as_plain(figures.work), "people": plan.people, "efficiency": as_plain(figures.efficiency), "loss": as_plain(figures.loss), **more,
    }  # fmt: skip


def _show(plan: WishedBalance, figures: BalanceFigures, line: LineBalance | None) -> None:
    console = _console()
    if not plan.posts:
        console.print("There is nothing to share out.")
        return
    _say(console, _sentence(plan, figures))
    for sentence in line.beyond if line is not None else ():
        _say(console, f"Beyond today: {sentence}.")
    console.print()
    console.print(_table(plan, figures))
    console.print()
    for sentence in plan.reasons:
        _say(console, sentence)
    for sentence in (*line.today, *line.notes) if line is not None else ():
        _say(console, f"  {sentence}")


def _sentence(plan: WishedBalance, figures: BalanceFigures) -> str:
    count = len(plan.posts)
    who = "" if plan.people == count else f" with {plan.people} {'person' if plan.people == 1 else 'people'}"
    if plan.takt_at_least is not None:
        sure = "no shorter one can be kept" if plan.takt_proven else "whether a shorter one can be kept is not proven"
    else:
        sure = "no fewer posts can" if plan.proven else f"whether {plan.at_least} can is not proven"
    return (
        f"{count} post{'' if count == 1 else 's'}{who} keep{'s' if count == 1 else ''} a takt of {figures.takt.short()}; {sure}. "
        f"{figures.efficiency.short()} of the time is work, {figures.loss.short()} is balance loss."
    ) + (f" {plan.idle}" if plan.idle else "")


def _table(plan: WishedBalance, figures: BalanceFigures) -> Any:
    from rich.table import Table
    from rich.text import Text

    crews, several = any(one.crew for one in plan.rounds), plan.conditions.people_at_a_post > 1
    table = Table(box=None, pad_edge=False)
    headings = ["post", *(["who"] if crews else []), *(["people"] if several else []), "round", "load", "takt"]
    for heading in headings:
        table.add_column(heading, justify="left" if heading == "who" else "right", no_wrap=True)
    table.add_column("what is done")
    for k, one in enumerate(plan.rounds):
        done = ", ".join(f"{name} (on the way back)" if name in one.back else name for name in one.elements)
        who = (Text(one.crew),) if crews else ()
        table.add_row(
            str(k + 1), *who, *((str(one.people),) if several else ()), figures.rounds[k].short(), figures.loads[k].short(),
            Text(_bar(figures.loads[k])), Text(done or "nothing"),
        )  # fmt: skip
    return table


def _bar(load: Figure) -> str:
    """The load against the takt, which is the stroke at the end; what is above it stands behind it."""
    full = round(load.value * _WIDE)
    inside = min(full, _WIDE)
    return "█" * inside + "·" * (_WIDE - inside) + "|" + "█" * min(full - inside, _WIDE // 3)


def tell_range(rows: Sequence[AtPosts], *, as_json: bool) -> None:
    from pullwright.pull.balance.over_posts import most_efficient

    if as_json:
        print_json([_row_plain(row) for row in rows])
        return
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    for heading in ("posts", "people", "shortest takt", "efficiency", "proven"):
        table.add_column(heading, justify="right")
    table.add_column("")
    best = most_efficient(rows)
    for row in rows:
        table.add_row(str(row.posts), *_cells(row), "best efficiency" if row is best else _remark(row))
    console = _console()
    console.print(table)
    for row in rows:
        if row.refused:
            _say(console, f"{row.refused[0].upper()}{row.refused[1:]}.")


def _row_plain(row: AtPosts) -> dict[str, Any]:
    one = row.balance
    if one is None:
        return {"posts": row.posts, "takt": None, "refused": row.refused}
    return {
        "posts": row.posts, "used": len(one.posts), "people": one.people, "takt": one.takt, "takt_at_least": one.takt_at_least, "efficiency": one.efficiency,
        "proven": one.takt_proven, "refused": "",
    }  # fmt: skip


def _cells(row: AtPosts) -> tuple[str, ...]:
    from pullwright.figure import Source, given

    one, source = row.balance, Source("computed", "the shortest takt that was found")
    if one is None:
        return ("", "none", "", "")
    takt, efficiency = given("takt", one.takt, "s", source), given("efficiency", one.efficiency, "share", source)
    return (str(one.people), takt.short(), efficiency.short(), "yes" if one.takt_proven else "no")


def _remark(row: AtPosts) -> str:
    one = row.balance
    if one is None:
        return ""
    if not one.takt_proven:
        least = one.takt_at_least or 0.0
        return f"{least:.4g} s is not ruled out, {100 * (one.takt - least) / one.takt:.2g} % less"
    used = sum(map(bool, one.posts))
    return "" if used == row.posts else f"{used} of them do it already"


def _console() -> Console:
    from rich.console import Console

    return Console(width=None if sys.stdout.isatty() else 140, highlight=False)


def _say(console: Console, text: str) -> None:
    console.print(text, highlight=False, markup=False, soft_wrap=True)

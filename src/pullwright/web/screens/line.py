"""The page of a line: what was found, the drawing, what is out of place, the accounts in short, what to watch next."""

from __future__ import annotations

from pydantic import Field

from pullwright.draw import account_bars
from pullwright.draw.scene import Branch, FigureLike, Pile, StationColumn
from pullwright.figure import Figure
from pullwright.survey.caution import caution_of
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Finding, Found, Row, Shown, Table, Watch
from pullwright.web.screens.about_line import AboutLine, about, findings, watch

WIDE, NARROW = 1120.0, 358.0
"""Widths of a drawing in its own units: the room that a page has on a desk and on a phone."""
IN_SHORT = ("hours", "floor", "material", "year")
"""The accounts that the page of a line shows in short."""


class LinePage(AboutLine):
    """A line at a glance."""

    headline: tuple[Shown, ...]
    findings: tuple[Finding, ...]
    numbers: tuple[Table, ...]
    watch: tuple[Watch, ...]
    caution: str
    about: str
    accounts_href: str = Field(exclude=True)
    flow_href: str = Field(exclude=True)
    wide: str = Field(exclude=True)
    narrow: str = Field(exclude=True)
    wide_accounts: str = Field(exclude=True)
    narrow_accounts: str = Field(exclude=True)


def line(opened: Opened) -> LinePage:
    """How does the line stand: can it make what customers pull, what is out of place, what should be watched next?"""
    survey, once, base = opened.survey, opened.worked_out.once, opened.way.base
    return LinePage(
        name=opened.title,
        found=Found(text=survey.sentence, look=bool(survey.findings)),
        trail=opened.trail(inside=opened.earlier),
        places=opened.places("Line"),
        headline=once(f"headline {base}", lambda: _headline(opened)),
        findings=once(f"findings {base}", lambda: findings(opened)),
        numbers=once(f"numbers {base}", lambda: _numbers(opened)),
        watch=watch(opened, once("watch next", survey.watch_next)),
        caution=once("caution", lambda: caution_of(survey.line)),
        about=survey.line.about,
        accounts_href=opened.way.part("accounts"),
        flow_href=opened.way.part("flow"),
        wide=once(f"wide {base}", lambda: _drawing(opened, WIDE, "wide")),
        narrow=once(f"narrow {base}", lambda: _drawing(opened, NARROW, "narrow")),
        wide_accounts=once(f"wide accounts {base}", lambda: _bars(opened, WIDE, "wide-short")),
        narrow_accounts=once(f"narrow accounts {base}", lambda: _bars(opened, NARROW, "narrow-short")),
        **about(opened),
    )


def _drawing(opened: Opened, width: float, prefix: str) -> str:
    return opened.survey.drawing(width, prefix=prefix, why_link=opened.way.why, heading=False)


def _bars(opened: Opened, width: float, prefix: str) -> str:
    survey = opened.survey
    keys = [account.key for account in survey.accounts.all()]
    bars = [bar for key, bar in zip(keys, survey.bars(), strict=True) if key in IN_SHORT]
    return account_bars(bars, currency=survey.line.currency, width=width, prefix=prefix, why_link=opened.way.why)


def _headline(opened: Opened) -> tuple[Shown, ...]:
    flow = opened.survey.flow
    wanted = (
        ("pulled a day", flow.rates.demand),
        ("shipped a day", flow.shipped),
        ("takt time", flow.takt),
        ("lead time", flow.ladder.lead_days),
        ("touch time", flow.ladder.touch),
        ("process cycle efficiency", flow.ladder.efficiency),
        ("rolled throughput yield", flow.rolled_throughput_yield),
    )
    return tuple(opened.show(figure, words=words) for words, figure in wanted)


_COLUMNS = ("work on a piece", "of takt", "stock before", "needed", "room for", "lasts")


def _numbers(opened: Opened) -> tuple[Table, ...]:
    return tuple(_branch(opened, branch) for branch in opened.survey.picture().branches)


def _branch(opened: Opened, branch: Branch) -> Table:
    rows = [_column(opened, column) for column in branch.columns]
    if branch.after is not None:
        after = branch.after
        look = after.remark.word if after.remark else ""
        rows.append(Row(words=after.name, figures=(None, None, *_pile(opened, after)), look=look))
    return Table(caption=branch.name, columns=_COLUMNS, rows=tuple(rows))


def _column(opened: Opened, column: StationColumn) -> Row:
    looks = [remark.word for remark in (column.remark, column.queue.remark if column.queue else None) if remark]
    return Row(
        words=column.name,
        question=", ".join(column.steps),
        figures=(_shown(opened, column.content), _shown(opened, column.load), *_pile(opened, column.queue)),
        look=", ".join(looks),
    )


def _pile(opened: Opened, pile: Pile | None) -> tuple[Shown | None, ...]:
    if pile is None:
        return (None,) * 4
    return tuple(_shown(opened, figure) for figure in (pile.pieces, pile.needed, pile.capacity, pile.lasts))


def _shown(opened: Opened, figure: FigureLike | None) -> Shown | None:
    return opened.show(figure) if isinstance(figure, Figure) else None


def register(pages: Pages) -> None:
    """Add the page of a line."""
    everywhere(pages, "", line, "line.html")

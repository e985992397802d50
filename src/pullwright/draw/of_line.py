"""From a computed line to the scene that is drawn: which figure goes where; no arithmetic."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pullwright.account import Account, Accounts
from pullwright.account.findings import Finding
from pullwright.account.floor import container_of
from pullwright.draw.account_bars import AccountBar, AccountRow
from pullwright.draw.scene import (
    Branch,
    LinePicture,
    Loop,
    Pile,
    Remark,
    RibbonPiece,
    Segment,
    StationColumn,
    WhyLink,
)
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.in_days import in_days
from pullwright.flow.ladder import ChainLadder
from pullwright.flow.stock import Stock
from pullwright.flow.stretches import stretches_of
from pullwright.line.model import Release


def picture_of(
    accounts: Accounts, findings: Iterable[Finding], sentence: str, why_link: WhyLink | None = None
) -> LinePicture:
    """Make the scene of a line: stations and stock of every flow, what is out of place, the ribbon of each flow."""
    flow = accounts.flow
    found = tuple(findings)
    places = {
        i: (number, column)
        for number, chain in enumerate(flow.ladder.chains)
        for column, i in enumerate(chain.chain.steps)
    }
    return LinePicture(
        title=flow.line.line,
        sentence=sentence,
        takt=flow.takt,
        branches=tuple(_branch(flow, found, number, chain, places) for number, chain in enumerate(flow.ladder.chains)),
        lead=flow.ladder.lead,
        touch=flow.ladder.touch,
        touch_share=flow.line_indicators.process_ratio,
        currency=flow.line.currency,
        why_link=why_link,
        lead_shown=_in_days(flow.ladder.lead_days),
    )


def _branch(
    flow: Flow, findings: tuple[Finding, ...], number: int, ladder: ChainLadder, places: dict[int, tuple[int, int]]
) -> Branch:
    chain = ladder.chain
    steps = chain.steps
    first = _first_places(flow, places)
    columns = tuple(
        _column(flow, findings, i, first[flow.line.steps[i].station], (number, k)) for k, i in enumerate(steps)
    )
    column_of = {i: k for k, i in enumerate(steps)}
    ribbon = tuple(
        RibbonPiece(
            stretch.name,
            stretch.time,
            stretch.touch,
            None if stretch.step is None else column_of.get(stretch.step),
            _in_days(stretch.days),
        )
        for stretch in stretches_of(ladder, flow.day)
    )
    after = next((stock for stock in flow.stocks if stock.kind == "after" and stock.step == steps[-1]), None)
    into, joins = (0, None) if chain.joins is None else places[chain.joins]
    out_of, leaves = (0, None) if chain.leaves is None else places[chain.leaves]
    return Branch(
        name=flow.line.line if number == 0 else flow.line.steps[steps[-1]].name,
        columns=columns,
        ribbon=ribbon,
        joins=joins,
        into=into,
        after=None if after is None else _pile(flow, findings, after),
        loops=tuple(loop for k, i in enumerate(steps) for loop in _loops(flow, k, i, column_of, len(steps))),
        leaves=leaves,
        out_of=out_of,
    )


def _first_places(flow: Flow, places: dict[int, tuple[int, int]]) -> dict[str, tuple[int, int]]:
    """Where the flow first comes to each station: branch and column."""
    first: dict[str, tuple[int, int]] = {}
    for i, place in places.items():
        station = flow.line.steps[i].station
        first[station] = min(first.get(station, place), place)
    return first


def _column(
    flow: Flow, findings: tuple[Finding, ...], i: int, first: tuple[int, int], place: tuple[int, int]
) -> StationColumn:
    step = flow.line.steps[i]
    station = next(one for one in flow.stations if one.name == step.station)
    about = {("step", step.name)} | ({("station", station.name)} if place == first else set())
    remark = next((_remark(one) for one in findings if (one.kind, one.place) in about), None)
    stock = _stock_before(flow, i, first=place[1] == 0)
    people = f"{step.people} {'person' if step.people == 1 else 'people'}" if i in flow.people.attended else ""
    return StationColumn(
        name=station.name,
        content=station.content,
        segments=tuple(Segment(kind, seconds) for kind, seconds in station.segments.items()),
        load=station.load,
        steps=(step.name,),
        machines=int(station.machines.value),
        people=people,
        queue=None if stock is None else _pile(flow, findings, stock),
        remark=remark,
        same_as=None if place == first else first,
    )


def _in_days(days: Figure | None) -> Figure | None:
    """From one working day on people say a wait in days; a shorter one in hours or minutes."""
    return days if days is not None and days.value >= 1 else None


def _stock_before(flow: Flow, i: int, *, first: bool) -> Stock | None:
    """Before the first step of a flow lies the part that waits longest there, unless somebody counted work in process before it."""
    own = next((stock for stock in flow.stocks if stock.kind == "before" and stock.step == i), None)
    if first and (own is None or own.counted is None):
        parts = [
            stock for stock in flow.stocks if stock.kind == "part" and stock.step == i and stock.counted is not None
        ]
        if parts:
            return max(parts, key=lambda stock: stock.lasts.value)
    return own


def _pile(flow: Flow, findings: tuple[Finding, ...], stock: Stock) -> Pile:
    container = container_of(flow, stock)
    remark = next((_remark(one) for one in findings if one.kind == "stock" and one.place == stock.words), None)
    needed = stock.needed if np.isfinite(stock.needed.value) else None
    return Pile(
        pieces=stock.held,
        per_container=float(container[1].holds) if container else 1.0,
        needed=needed,
        capacity=stock.capacity,
        lasts=stock.lasts,
        remark=remark,
        name=stock.words,
        lasts_shown=_in_days(in_days(stock.lasts, flow.day)),
    )


def _remark(finding: Finding) -> Remark:
    return Remark(finding.word, finding.sentence)


def _loops(flow: Flow, column: int, i: int, column_of: dict[int, int], columns: int) -> list[Loop]:
    release = flow.line.steps[i].release
    if release is None:
        return []
    path: tuple[str | int, ...] = ("steps", i, "release")
    if release.loops:
        each = [
            flow.givens.number((*path, "loops", k, "cards"), loop.cards, "cards")
            for k, loop in enumerate(release.loops)
        ]
        cards = derive(
            f"cards / {flow.line.steps[i].name}",
            lambda *n: sum(n),
            *each,
            unit="cards",
            formula="sum of the cards of all products",
        )
        return [Loop(column, column + 1, "cards", cards)]
    if release.by == "cards" and release.cards is not None:
        return [Loop(column, column + 1, "cards", flow.givens.number((*path, "cards"), release.cards, "cards"))]
    if release.by == "cap" and release.limit is not None:
        return [
            Loop(
                column,
                _until(flow, release, column_of, columns),
                "cap",
                flow.givens.number((*path, "limit"), release.limit, "pieces"),
            )
        ]
    return [Loop(column, columns if release.by == "order" else column + 1, release.by)]


def _until(flow: Flow, release: Release, column_of: dict[int, int], columns: int) -> int:
    names = [step.name for step in flow.line.steps]
    end = column_of.get(names.index(release.until)) if release.until in names else None
    return columns if end is None else end + 1


def bar_of(account: Account, findings: Iterable[Finding], title: str = "", sentence: str = "") -> AccountBar:
    """Make the bar of an account; a row is remarked where a finding is about it."""
    by_figure = {id(finding.figure): finding for finding in findings}
    rows = tuple(
        AccountRow(row.words, row.amount, row.kind, row.share, _remark(by_figure[id(row.amount)]) if id(row.amount) in by_figure else None)
        for row in account.rows
    )  # fmt: skip
    return AccountBar(title or account.title, account.whole, rows, sentence)

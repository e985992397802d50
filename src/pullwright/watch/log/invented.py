"""An event log of a works that does not exist, with the truth beside it: what the analyses of a log are checked against.

The works makes lever-action hand pumps; see `invented_works`. `python -m pullwright.watch.log.invented` prints the small
log that comes with the examples.
"""

from __future__ import annotations

import bisect
import datetime as dt
import heapq
from collections import deque
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from .invented_works import MadeOrder, MadeStation, MadeStep, MadeVisit, Truth, Works

if TYPE_CHECKING:
    from numpy.random import Generator

HEADERS = ("Order", "Step", "Station", "Start", "End", "Kind of work", "Product", "Worker", "Ordered", "Good", "Scrapped", "Done again")  # fmt: skip
Row = dict[str, str]
MOMENT = "%Y-%m-%d %H:%M:%S"


@dataclass(frozen=True)
class MadeLog:
    """An invented log: `rows` as they would stand in a file under `HEADERS`, in order of their start, and the truth."""

    rows: tuple[Row, ...]
    truth: Truth

    def csv(self) -> str:
        """The log as a CSV file."""
        import csv
        import io

        text = io.StringIO()
        writer = csv.DictWriter(text, HEADERS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(self.rows)
        return text.getvalue()


def made_log(works: Works | None = None, *, rng: Generator) -> MadeLog:
    """A log of `works` and what really happened: orders queue at each station in order of arrival, until the days are over.

    >>> log = made_log(Works(days=14), rng=np.random.default_rng(1))
    >>> sorted({visit.step for visit in log.truth.visits})[:3]
    ['assemble', 'hone bore', 'leak test']
    """
    return _Shop(works or Works(), rng).run()


@dataclass
class _Order:
    name: str
    product: str
    ordered: int
    pieces: int
    route: tuple[MadeStep, ...]
    at: int = 0
    again: bool = False
    came: float = 0.0
    done: bool = False


@dataclass
class _Machine:
    station: MadeStation
    number: int
    until_down: float
    product: str = ""


class _Shop:
    """The simulation: time is worked seconds since the first shift, turned into the clock on the wall at the end."""

    def __init__(self, works: Works, rng: Generator) -> None:
        self.works, self.rng = works, rng
        calendar, first = works.calendar(), dt.datetime.combine(works.first, dt.time())
        self.stretches = list(calendar.intervals(first, first + dt.timedelta(days=works.days)))
        lengths = [(until - begin).total_seconds() for begin, until in self.stretches]
        self.marks = [0.0, *np.cumsum(lengths).tolist()]
        self.day = calendar.average_day().working
        self.end = self.marks[-1]
        self.free: dict[str, list[_Machine]] = {
            one.name: [_Machine(one, k + 1, self._running(one)) for k in range(one.machines)] for one in works.stations
        }
        self.queues: dict[str, deque[_Order]] = {one.name: deque() for one in works.stations}
        self.booked: list[tuple[dt.datetime, Row]] = []
        self.visits: list[MadeVisit] = []
        self.breakdowns: list[tuple[str, float]] = []

    def _running(self, station: MadeStation) -> float:
        return float(self.rng.exponential(station.between)) if station.between else float("inf")

    def _gamma(self, mean: float, cv: float) -> float:
        return mean if cv == 0 or mean == 0 else float(self.rng.gamma(1 / cv**2, mean * cv**2))

    def run(self) -> MadeLog:
        orders = self._orders()
        events: list[tuple[float, int, _Order, _Machine | None]] = [
            (one.came, k, one, None) for k, one in enumerate(orders)
        ]
        heapq.heapify(events)
        ticket = len(events)
        while events:
            now, _, order, machine = heapq.heappop(events)
            if now >= self.end:
                break
            waiting = {order.route[order.at].station} if machine is None else {machine.station.name}
            if machine is not None:
                self.free[machine.station.name].append(machine)
                self._move_on(order)
                if not order.done:
                    waiting.add(order.route[order.at].station)
            if not order.done:
                order.came = now
                self.queues[order.route[order.at].station].append(order)
            for station in sorted(waiting):
                while self.free[station] and self.queues[station]:
                    taken, on = self.queues[station].popleft(), self.free[station].pop(0)
                    ticket += 1
                    heapq.heappush(events, (self._work(taken, on, now), ticket, taken, on))
        return self._log(orders)

    def _orders(self) -> list[_Order]:
        rng, works, names = self.rng, self.works, [name for name, _ in self.works.products]
        shares = np.array([share for _, share in works.products])
        at, found = 0.0, list[_Order]()
        while True:
            at += float(rng.exponential(self.day / works.orders_a_day))
            if at >= self.end:
                return found
            product, lot = names[int(rng.choice(len(names), p=shares / shares.sum()))], int(rng.choice(works.lots))
            found.append(_Order(f"HP-{1001 + len(found)}", product, lot, lot, works.route(product), came=at))

    def _move_on(self, order: _Order) -> None:
        step = order.route[order.at]
        if step.rework and not order.again and self.rng.random() < step.rework:
            order.again = True
            order.at = [one.name for one in order.route].index(step.back_to)
            return
        order.again = order.again and not step.rework
        order.at += 1
        order.done = order.at == len(order.route) or order.pieces == 0

    def _work(self, order: _Order, machine: _Machine, now: float) -> float:
        """Book one visit; gives the worked second at which it ends."""
        step, rng = order.route[order.at], self.rng
        change = step.setup and machine.product != order.product and not order.again
        setup = self._gamma(step.setup, step.setup_cv) if change else 0.0
        machine.product = order.product
        run = self._gamma(order.pieces * step.mean(order.product), step.cv)
        scrapped = int(rng.binomial(order.pieces, step.scrap)) if step.scrap else 0
        who = f"W{1 + (self.works.stations.index(machine.station) + machine.number - 1 + int(rng.random() < 0.1)) % self.works.people:02d}"
        at = now
        spans: list[tuple[str, float, float]] = []
        if setup:
            spans.append(("set-up", at, at + setup))
            at += setup
        left = run
        while left > machine.until_down:
            spans.append(("run", at, at + machine.until_down))
            at, left = at + machine.until_down, left - machine.until_down
            stood = float(rng.exponential(machine.station.repair))
            spans.append(("breakdown", at, at + stood))
            self.breakdowns.append((machine.station.name, stood))
            at += stood
            machine.until_down = self._running(machine.station)
        machine.until_down -= left
        spans.append(("run", at, at + left))
        at += left
        pieces, order.pieces = order.pieces, order.pieces - scrapped
        self._book(order, step, machine, who, spans, pieces, scrapped)
        if at < self.end:
            self.visits.append(
                MadeVisit(
                    order.name, order.product, step.name, step.station, machine.number, pieces, scrapped, order.again,
                    setup, run, self._moment(order.came, True), self._moment(now, True), self._moment(at, False),
                )
            )  # fmt: skip
        return at

    def _book(
        self, order: _Order, step: MadeStep, machine: _Machine, who: str, spans: list[tuple[str, float, float]],
        pieces: int, scrapped: int,
    ) -> None:  # fmt: skip
        last: Row | None = None
        for kind, begin, until in spans:
            if not self.works.marks_kinds and kind == "breakdown":
                continue
            for start, end in self._cut(begin, until):
                row = {
                    "Order": order.name, "Step": step.name, "Station": step.station, "Start": self._text(start),
                    "End": self._text(end), "Kind of work": kind if self.works.marks_kinds else "", "Product": order.product,
                    "Worker": who, "Ordered": str(order.ordered), "Good": "", "Scrapped": "",
                    "Done again": "yes" if order.again else "",
                }  # fmt: skip
                self.booked.append((start, row))
                last = row if kind == "run" else last
        if last is not None and spans[-1][2] < self.end:
            last["Good"], last["Scrapped"] = str(pieces - scrapped), str(scrapped)

    def _cut(self, begin: float, until: float) -> list[tuple[dt.datetime, dt.datetime]]:
        """The bookings of a span of worked time: cut where people go home, and at breaks where the works books so."""
        found: list[tuple[dt.datetime, dt.datetime]] = []
        until = min(until, self.end)
        k = max(0, bisect.bisect_right(self.marks, begin) - 1)
        while k < len(self.stretches) and self.marks[k] < until:
            opens = self.stretches[k][0]
            low, high = max(begin, self.marks[k]), min(until, self.marks[k + 1])
            start, end = (opens + dt.timedelta(seconds=at - self.marks[k]) for at in (low, high))
            if found and not self.works.book_out_at_breaks and found[-1][0].date() == start.date():
                found[-1] = (found[-1][0], end)
            else:
                found.append((start, end))
            k += 1
        shown = [(start, end) for start, end in found if self._text(start) != self._text(end)]
        return shown or found[:1]

    def _text(self, moment: dt.datetime) -> str:
        if self.works.whole_minutes:
            return (moment + dt.timedelta(seconds=30)).strftime("%Y-%m-%d %H:%M")
        return moment.strftime(MOMENT)

    def _moment(self, worked: float, opens: bool) -> dt.datetime:
        find = bisect.bisect_right if opens else bisect.bisect_left
        k = min(max(0, find(self.marks, worked) - 1), len(self.stretches) - 1)
        return self.stretches[k][0] + dt.timedelta(seconds=worked - self.marks[k])

    def _log(self, orders: list[_Order]) -> MadeLog:
        begun: dict[str, tuple[dt.datetime, dt.datetime]] = {}
        for visit in self.visits:
            start, end = begun.get(visit.order, (visit.start, visit.end))
            begun[visit.order] = min(start, visit.start), max(end, visit.end)
        made = tuple(
            MadeOrder(one.name, one.product, one.ordered, begun[one.name][0], begun[one.name][1] if one.done else None)
            for one in orders
            if one.name in begun
        )
        rows = tuple(row for _, row in sorted(self.booked, key=lambda pair: pair[0]))
        truth = Truth(self.works, tuple(sorted(self.visits, key=lambda v: v.start)), made, tuple(self.breakdowns))
        return MadeLog(rows, truth)


@dataclass(frozen=True, slots=True)
class Dirt:
    """How many rows to spoil, and how. `midnight`: booked out by the clock at midnight, because nobody did it."""

    duplicates: int = 0
    spellings: int = 0
    missing_ends: int = 0
    overlaps: int = 0
    midnight: int = 0
    fields: tuple[str, ...] = field(
        default=("duplicates", "spellings", "missing_ends", "overlaps", "midnight"), init=False
    )


def dirtied(log: MadeLog, dirt: Dirt, *, rng: Generator) -> MadeLog:
    """The same log with rows spoilt; `truth.dirt` says which rows of the file each kind of dirt is in (the header is row 1)."""
    rows = [dict(row) for row in log.rows]
    runs = [k for k, row in enumerate(rows) if not row["Good"] and row["Kind of work"] in ("run", "")]
    picked = rng.permutation(runs).tolist()
    where: dict[str, list[Row]] = {}
    for kind in dirt.fields:
        many = int(getattr(dirt, kind))
        chosen, picked = picked[:many], picked[many:]
        where[kind] = [rows[k] for k in chosen]
        for k in chosen:
            _spoil(rows[k], kind, rng)
    doubled = {id(row) for row in where["duplicates"]}
    out: list[Row] = []
    for row in rows:
        out.append(row)
        if id(row) in doubled:
            out.append(dict(row))
    at = {id(row): k + 2 for k, row in enumerate(out)}
    found = {
        kind: tuple(sorted(at[id(row)] + (1 if kind == "duplicates" else 0) for row in some))
        for kind, some in where.items()
    }
    return MadeLog(tuple(out), replace(log.truth, dirt=found))


def _spoil(row: Row, kind: str, rng: Generator) -> None:
    form = MOMENT if row["Start"].count(":") == 2 else "%Y-%m-%d %H:%M"
    start = dt.datetime.strptime(row["Start"], form)
    if kind == "spellings":
        row["Step"] = (row["Step"].title(), row["Step"].upper(), row["Step"].replace(" ", "  "))[int(rng.integers(3))]
    elif kind == "missing_ends":
        row["End"] = ""
    elif kind == "overlaps":
        row["Start"] = (start - dt.timedelta(minutes=10)).strftime(form)
    elif kind == "midnight":
        row["End"] = dt.datetime.combine(start.date() + dt.timedelta(days=1), dt.time()).strftime(form)


EXAMPLE = Works(days=33, whole_minutes=True)
"""The works of the small log among the examples."""


def example_log() -> MadeLog:
    """The small log that comes with the examples, a little dirty, as logs are."""
    rng = np.random.default_rng(2028)
    log = made_log(EXAMPLE, rng=rng)
    return dirtied(log, Dirt(duplicates=2, spellings=4, missing_ends=3, overlaps=2, midnight=2), rng=rng)


if __name__ == "__main__":
    print(example_log().csv(), end="")

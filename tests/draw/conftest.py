"""Figures and pictures to draw: small fakes with the few things the pen asks of a figure."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace
from types import SimpleNamespace

import pytest

from pullwright.draw import (
    Branch,
    LinePicture,
    Loop,
    Pile,
    Remark,
    RibbonPiece,
    Segment,
    StationColumn,
)
from pullwright.line.kinds import KINDS

_STEPS = {"s": ((86400 / 3, "d"), (3600, "h"), (60, "min"), (0, "s")), "share": ((0, "%"),)}


@dataclass(frozen=True)
class Fake:
    """A figure as the pen sees it."""

    name: str
    value: float
    unit: str = "s"
    spread: float = 0.0

    def parts(self, currency: str = "EUR") -> tuple[str, str, str]:
        if math.isinf(self.value):
            return "without end", "", ""
        size, unit = 1.0, self.unit
        if self.unit == "s":
            size, unit = next(
                (size, unit)
                for size, unit in ((28800.0, "d"), (3600.0, "h"), (60.0, "min"), (1.0, "s"))
                if abs(self.value) >= size or unit == "s"
            )
        elif self.unit == "share":
            size, unit = 0.01, "%"
        elif self.unit == "1":
            unit = ""
        elif self.unit == "wd":
            unit = "d"
        elif self.unit == "money":
            unit = currency
        low, high = self.interval()
        interval = f"{_three(low / size)} to {_three(high / size)}" if self.spread else ""
        return _three(self.value / size), unit, interval

    def interval(self, level: float = 0.9) -> tuple[float, float]:
        return self.value * (1 - self.spread), self.value * (1 + self.spread)

    def text(self, currency: str = "EUR") -> str:
        value, unit, interval = self.parts(currency)
        return " ".join(part for part in (value, unit, f"({interval})" if interval else "") if part)


def _three(value: float) -> str:
    if value == 0:
        return "0"
    digits = max(2 - math.floor(math.log10(abs(value))), 0)
    return f"{value:,.{digits}f}".replace(",", "\u202f")


def seconds(name: str, value: float, spread: float = 0.0) -> Fake:
    return Fake(name, value, "s", spread)


def days(name: str, value: float, spread: float = 0.0) -> Fake:
    return Fake(name, value, "wd", spread)


def pieces(name: str, value: float, spread: float = 0.0) -> Fake:
    return Fake(name, value, "pieces", spread)


def pile(have: float, need: float | None = None, container: float = 1.0, **more: object) -> Pile:
    return Pile(
        pieces("stock", have),
        container,
        None if need is None else pieces("needed stock", need),
        **more,  # type: ignore[arg-type]
    )


def station(
    name: str, times: dict[str, float], takt: float = 60.0, spread: float = 0.0, **more: object
) -> StationColumn:
    total = math.fsum(times.values())
    segments = tuple(Segment(kind, seconds(f"{name} / {kind}", time)) for kind, time in times.items())  # type: ignore[arg-type]
    return StationColumn(
        name,
        seconds(f"content / {name}", total, spread),
        segments,
        load=Fake(f"load / {name}", total / takt, "share", spread),
        **more,  # type: ignore[arg-type]
    )


def ribbon(columns: tuple[StationColumn, ...], takt: float = 60.0) -> tuple[RibbonPiece, ...]:
    out: list[RibbonPiece] = []
    for index, column in enumerate(columns):
        if column.queue is not None:
            wait = column.queue.pieces.value * takt
            out.append(RibbonPiece(f"before {column.name}", seconds(f"wait / {column.name}", wait), False, index))
        out.append(RibbonPiece(column.name, seconds(f"touch / {column.name}", column.content.value), True, index))
    return tuple(out)


def picture(*branches: Branch, takt: float = 60.0, **more: object) -> LinePicture:
    main = branches[0]
    lead = math.fsum(piece.time.value for piece in main.ribbon)
    touch = math.fsum(piece.time.value for piece in main.ribbon if piece.touch)
    words: dict[str, object] = {"title": "Hand pump, line 2", "sentence": "The line keeps its takt."} | more
    return LinePicture(
        takt=seconds("takt", takt),
        branches=branches,
        lead=seconds("lead time", lead, 0.1),
        touch=seconds("touch time", touch),
        touch_share=Fake("touch share", touch / lead if 0 < lead < math.inf else 0.0, "share"),
        **words,  # type: ignore[arg-type]
    )


def clean_line() -> LinePicture:
    """Three stations well within takt, stock as needed: nothing is out of place."""
    columns = (
        station("Saw", {"value": 20, "needed": 10}, queue=pile(20, 20, 5)),
        station("Drill", {"value": 30, "motion": 5, "needed": 10}, queue=pile(10, 10, 5)),
        station("Pack", {"needed": 25}, queue=pile(5, 5, 5)),
    )
    loops = (Loop(0, 1, "cards", Fake("cards", 4, "1")), Loop(1, 2, "cards", Fake("cards", 2, "1")))
    return picture(Branch("main flow", columns, ribbon(columns), loops=loops))


def workshop() -> LinePicture:
    """A line as one meets it: eight stations, two sub-flows, piles, a bottleneck."""
    late = Remark("beyond takt", "The hone takes 71 s where a piece is sold every 60 s.")
    much = Remark("too much stock", "640 castings where 120 are needed.")
    columns = (
        station(
            "Saw bars",
            {"value": 22, "needed": 9, "motion": 6},
            spread=0.08,
            people="1 person",
            queue=pile(640, 120, 20, lasts=seconds("lasts", 38400, 0.1), remark=much),
        ),
        station(
            "Turn bodies",
            {"value": 38, "needed": 12, "waiting": 4},
            machines=2,
            people="1 person",
            queue=pile(90, 100, 10, lasts=seconds("lasts", 5400, 0.1)),
        ),
        station(
            "Hone bores",
            {"value": 41, "needed": 14, "again": 9, "waiting": 7},
            spread=0.05,
            people="1.5 people",
            queue=pile(310, 80, 10, lasts=seconds("lasts", 18600, 0.1), remark=much),
            remark=late,
        ),
        station("Wash", {"needed": 18, "moving": 9}, machines=1, queue=pile(40, 40, 10)),
        station(
            "Press and assemble",
            {"value": 36, "motion": 9, "extra": 5},
            people="2 people",
            machines=0,
            queue=pile(30, 40, 10),
        ),
        station("Test", {"needed": 33, "waiting": 8}, people="0.5 people", queue=pile(12, None, 4)),
        station(
            "Pack", {"needed": 16, "motion": 7, "ahead": 4, "unexplained": 3}, people="1 person", queue=pile(24, 24, 4)
        ),
    )
    levers = (
        station("Bend levers", {"value": 11, "moving": 5}, queue=pile(400, 100, 50)),
        station("Grind levers", {"value": 21, "needed": 6}, queue=pile(150, 100, 50)),
    )
    seals = (station("Mould seals", {"value": 25, "waiting": 12}, queue=pile(900, None, 100)),)
    loops = (
        Loop(-1, 0, "push"),
        Loop(0, 2, "cards", Fake("cards / saw", 12, "1"), "signal at 3 left"),
        Loop(2, 4, "cards", Fake("cards / hone", 6, "1")),
        Loop(1, 6, "cap", pieces("cap", 180)),
        Loop(4, 7, "order"),
    )
    return picture(
        Branch("main flow", columns, ribbon(columns), loops=loops, after=pile(60, 40, 4)),
        Branch(
            "Levers",
            levers,
            ribbon(levers),
            joins=4,
            after=pile(120, 100, 50),
            loops=(Loop(0, 1, "cards", Fake("cards / levers", 3, "1")),),
        ),
        Branch("Seals", seals, ribbon(seals), joins=4),
        sentence="The hone keeps nobody's pace: 71 s where a pump is sold every 60 s, and 640 castings wait at the saw.",
    )


def any_line(seed: int) -> LinePicture:
    """A line out of the whole range of what can come: 3 to 30 stations, and everything that makes drawing hard.

    Sub-flows in sub-flows, flows that leave, ways of their own to the customer, stations that the flow comes to again.
    """
    rng = random.Random(seed)  # noqa: S311
    count = (3, 4, 7, 12, 18, 30)[seed % 6]
    branches = [_flow(rng, "main flow", count)]
    for place in range(rng.choice((0, 0, 1, 2, 4))):
        into, out_of = rng.choice((0, 0, len(branches) - 1)), rng.randrange(len(branches))
        flow = _flow(rng, f"sub-flow {place} {_name(rng)}", rng.choice((1, 1, 2, 3, 6, 14)))
        joins = rng.choice((None, *range(len(branches[into].columns))))
        leaves = rng.choice((None, None, *range(len(branches[out_of].columns))))
        branches.append(
            Branch(
                flow.name,
                tuple(_again(rng, branches, column) for column in flow.columns),
                flow.ribbon,
                joins,
                0 if joins is None else into,
                flow.after,
                flow.loops,
                rng.choice((None, seconds("takt / sub", 30.0))),
                leaves,
                0 if leaves is None else out_of,
            )
        )
    linked = (lambda name: f"/why?figure={name}") if seed % 2 else None
    return picture(
        *branches,
        takt=rng.choice((60.0, 60.0, 45.0, math.inf, 5.0)),
        title=_name(rng),
        sentence=" ".join(_name(rng) for _ in range(rng.choice((1, 4)))),
        why_link=linked,
    )


def _flow(rng: random.Random, name: str, count: int) -> Branch:
    columns = tuple(_station(rng) for _ in range(count))
    loops = []
    for _ in range(rng.choice((0, 2, 5, 9))):
        maker = rng.randrange(-1, count)
        amount = rng.choice((None, Fake("cards", rng.choice((0.0, 3.0, 12.0, 1234567.0, math.inf)), "1", 0.2)))
        loops.append(
            Loop(
                maker,
                rng.randint(maker + 1, count),
                rng.choice(("cards", "cap", "order", "push")),
                amount,
                rng.choice(("", _name(rng))),
                rng.choice((None, None, _remark(rng))),
            )
        )
    after = rng.choice((None, _pile(rng)))
    return Branch(name, columns, ribbon(columns), loops=tuple(loops), after=after)


def _station(rng: random.Random) -> StationColumn:
    size = rng.choice((0.0, 1.0, 30.0, 30.0, 80.0, 12345.678, math.inf))
    if math.isinf(size):
        times = {"value": 5.0, "waiting": size}
    else:
        times = {kind.key: size * rng.random() * rng.choice((0, 1)) for kind in KINDS}
    return station(
        _name(rng),
        times,
        spread=rng.choice((0.0, 0.1)),
        machines=rng.choice((0, 1, 1, 2, 4, 25)),
        people=rng.choice(("", "1.5 people", "17.25 people of three trades")),
        queue=rng.choice((None, _pile(rng), _pile(rng))),
        remark=rng.choice((None, None, _remark(rng))),
        steps=rng.choice(((), (_name(rng),), (_name(rng), _name(rng)))),
    )


def _again(rng: random.Random, branches: list[Branch], column: StationColumn) -> StationColumn:
    """Now and then a station that stands in a flow before already."""
    other = rng.randrange(len(branches))
    first = rng.randrange(len(branches[other].columns))
    if rng.random() < 0.8 or branches[other].columns[first].same_as is not None:
        return column
    return replace(branches[other].columns[first], steps=(_name(rng), "x"), same_as=(other, first), remark=None)


def _pile(rng: random.Random) -> Pile:
    return pile(
        rng.choice((0.0, 3.0, 40.0, 5000.0, 1234567.0, math.inf)),
        rng.choice((None, 0.0, 25.0, 4000.0)),
        rng.choice((1.0, 12.0, 0.5, 5000.0)),
        lasts=rng.choice((None, seconds("lasts", 123456.0, 0.3))),
        lasts_shown=rng.choice((None, days("lasts in days", 4.286, 0.3), days("lasts in days", 12345.6))),
        capacity=rng.choice((None, pieces("room", 987654.0))),
        remark=rng.choice((None, _remark(rng))),
    )


def _remark(rng: random.Random) -> Remark:
    return Remark(rng.choice(("look", "beyond takt", "too much stock here", "Überlastungswarnung!")), _name(rng))


def _name(rng: random.Random) -> str:
    return rng.choice(
        (
            "Saw",
            "Hone bores",
            "Press the sealed bearing into the left housing and check its running by hand twice",
            "Donaudampfschifffahrtsgesellschaftskapitänsmützenfabrikationsendkontrollstelle 1",
            "WWWW MMMM @@@@ %%%%",
            'A & B <"quoted">',
            "Шлифовка и мойка деталей",
            "装配与检验工位",
            "mesure à l'étuve",
            "x",
            "",
        )
    )


@pytest.fixture(scope="session")
def scenes() -> SimpleNamespace:
    return SimpleNamespace(
        Fake=Fake,
        seconds=seconds,
        days=days,
        pieces=pieces,
        pile=pile,
        station=station,
        ribbon=ribbon,
        picture=picture,
        clean_line=clean_line,
        workshop=workshop,
        any_line=any_line,
    )

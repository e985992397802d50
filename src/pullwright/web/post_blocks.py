"""Posts as a page draws them: blocks of elements in a bar, against the takt."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlencode

from pydantic import Field

from pullwright.figure import Figure, Source, given
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.web.pieces import Piece
from pullwright.web.plan_pages import PlanAsked


class Block(Piece):
    """One element at a post: `width` is its share of the drawing's width in per cent; `earlier` and `later` move it to the post beside."""

    name: str
    step: str
    what: str
    station: str
    time: str
    width: float
    back: bool
    moved: bool
    earlier: str = Field(default="", exclude=True)
    later: str = Field(default="", exclude=True)


class PostShown(Piece):
    """One post: how long its round is, and whether that is above the takt; `rest` is what of the round is walking or kept free, in per cent."""

    number: int
    crew: str
    people: int
    round: str
    above: bool
    rest: float
    blocks: tuple[Block, ...]


def full_width(balance: WishedBalance) -> float:
    """How much time is as wide as the drawing (s)? The takt, or the longest round where that is longer."""
    return max(*balance.loads, balance.takt, 0.0) or 1.0


def post_shown(ask: PlanAsked, balance: WishedBalance, k: int, full: float, moves: Sequence[str] = ()) -> PostShown:
    """One post (counted from 0); `full` (s) is as wide as the drawing, `moves` are those that were made by hand."""
    names = {one.partition(" ")[2] for one in moves}
    made = balance.rounds[k]
    by_name = {element.name: element for element in balance.work.elements}
    blocks = []
    for name in made.elements:
        element, (step, _, what) = by_name[name], name.partition(" / ")
        blocks.append(
            Block(
                name=name, step=step, what=what or step, station=element.station, time=seconds(element.time),
                width=round(100 * element.time / made.people / full, 3), back=name in made.back, moved=name in names,
                earlier=posts_address(ask, [*moves, f"{k} {name}"]) if k else "",
                later=posts_address(ask, [*moves, f"{k + 2} {name}"]),
            )
        )  # fmt: skip
    rest = max(made.length - made.work / max(made.people, 1), 0.0)
    return PostShown(
        number=k + 1, crew=made.crew, people=made.people, round=seconds(made.length), above=made.length > balance.takt * (1 + 1e-6),
        rest=round(100 * rest / full, 3), blocks=tuple(blocks),
    )  # fmt: skip


def posts_address(ask: PlanAsked, moves: Sequence[str]) -> str:
    """The page of the posts after these moves."""
    query = [*ask.wished.typed.items(), *(("move", one) for one in moves)]
    return ask.opened.way.part("plan/posts") + (f"?{urlencode(query)}" if query else "")


def seconds(time: float) -> str:
    """A time as it is read."""
    return Figure.short(given("time", time, "s", Source("computed", "round")))

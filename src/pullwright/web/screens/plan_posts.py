"""The posts of a plan, with elements that are moved by hand: dragged, by keys, or by a link; what that breaks is said as it happens."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import urlencode

from fastapi import Query
from pydantic import Field
from starlette.requests import Request

from pullwright.pull.balance.moved import moved
from pullwright.pull.balance.of_line import LineBalance
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found
from pullwright.web.plan_pages import PlanAsked, PlanMatter, plan_asked
from pullwright.web.post_blocks import PostShown, full_width, post_shown, posts_address, seconds
from pullwright.web.problems import NextStep, Problem
from pullwright.web.wished import LONGEST

MOST_MOVES = 200
Moves = Annotated[
    list[str],
    Query(
        alias="move", max_length=MOST_MOVES,
        description="What was moved, in order: the number of the post, a blank, and the name of the element, such as `3 pack / label`.",
        examples=[["2 pack"]],
    ),
]  # fmt: skip


class PlanPostsPage(PlanMatter):
    """The posts, and what the moves break; `takt_at` is where the takt stands in the drawing, in per cent of its width."""

    takt: str = ""
    takt_at: float = 100.0
    posts: tuple[PostShown, ...] = ()
    breaks: tuple[str, ...] = ()
    moves: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    refused: str = ""
    undo_href: str = Field(default="", exclude=True)
    planned_href: str = Field(default="", exclude=True)
    kept_href: str = Field(default="", exclude=True)


def plan_posts(opened: Opened, request: Request, desk: AtDesk, move: Moves = []) -> PlanPostsPage:  # noqa: B006
    """What if an element is done at another post: how long are the rounds then, and what does it break?"""
    ask = plan_asked(opened, request, desk)
    about = {**ask.about("Posts by hand"), "planned_href": ask.part("/posts")}
    try:
        line = ask.planned.plan.posts
    except (NoSuchPlan, BadPlanInput) as error:
        return PlanPostsPage(
            **about,
            found=Found(text=f"There is no balance to move anything in: {error}", look=True),
            refused=str(error),
        )
    balance, breaks = _moved(ask, line, move)
    full = full_width(balance)
    return PlanPostsPage(
        **about,
        found=Found(text=_sentence(balance, breaks, len(move)), look=bool(breaks)),
        takt=seconds(balance.takt),
        takt_at=round(100 * balance.takt / full, 3),
        posts=tuple(post_shown(ask, balance, k, full, move) for k in range(len(balance.posts))),
        breaks=breaks,
        moves=tuple(move),
        reasons=line.reasons if not move else (),
        undo_href=posts_address(ask, move[:-1]) if move else "",
        kept_href=_kept(ask, balance) if move and not breaks else "",
    )  # fmt: skip


def _moved(ask: PlanAsked, line: LineBalance, moves: list[str]) -> tuple[WishedBalance, tuple[str, ...]]:
    balance, breaks = line.balance, tuple[str, ...]()
    for one in moves:
        post, _, name = one.partition(" ")
        try:
            if not (post.isascii() and post.isdigit() and len(post) < 7):
                raise BadPlanInput(f"{one[:80]!r} was read")
            made = moved(balance, name, int(post))
        except BadPlanInput as error:
            raise Problem(
                422, f"the move {one[:80]!r}", title="This cannot be moved.", allowed="The number of a post, a blank, and the name of an element of this plan.",
                todo=f"{str(error)[:1].upper()}{str(error)[1:]}. Start again from the posts as planned.", steps=(NextStep("The posts as planned", ask.part("/posts")),),
            ) from None  # fmt: skip
        balance, breaks = made.balance, made.breaks
    return balance, breaks


def _kept(ask: PlanAsked, balance: WishedBalance) -> str:
    """The address of the plan in which every element of the line file stays at the post where it is now; empty where a wish cannot say that."""
    at = {name: k for k, names in enumerate(balance.posts, 1) for name in names}
    fixed = []
    for step in ask.opened.survey.line.steps:
        own = [f"{step.name} / {element.what}" for element in step.elements]
        fixed += [f"{name} at {at[name]}" for name in own if name in at]
        # The work of a step that names no elements has one name, and so one post.
        mine = (
            [] if own else [name for name in at if name.split(" / ")[0] == step.name and not name.endswith("/ set-ups")]
        )
        rest = {at[name] for name in mine}
        if len(rest) > 1:
            return ""
        fixed += [f"{step.name} at {k}" for k in rest]
    typed = {**ask.wished.typed, "balance.posts": str(len(balance.posts)), "balance.fixed": "\n".join(fixed)}
    if len(typed["balance.fixed"]) > LONGEST:
        return ""
    return f"{ask.opened.way.part('plan')}?{urlencode(typed)}"


def _sentence(balance: WishedBalance, breaks: tuple[str, ...], moves: int) -> str:
    count = len(balance.posts)
    posts = f"{count} post{'' if count == 1 else 's'}"
    if breaks:
        return f"By hand this breaks {'one thing' if len(breaks) == 1 else f'{len(breaks)} things'}: {breaks[0]}."
    longest = seconds(balance.longest)
    how = "As planned" if not moves else "As moved by hand"
    return f"{how}, {posts} keep a takt of {seconds(balance.takt)}: the longest round is {longest}."


def register(pages: Pages) -> None:
    """Add the posts by hand."""
    everywhere(pages, "/plan/posts", plan_posts, "plan_posts.html")

"""The pull plan of a line: posts, cards, lots, deliveries, today's sequence, people, and whether it all fits; with the wishes beside each."""

from __future__ import annotations

from pydantic import Field
from starlette.requests import Request

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found
from pullwright.web.plan_pages import PlanAsked, PlanMatter, PlanPart, plan_asked
from pullwright.web.post_blocks import PostShown, full_width, post_shown


class PlanPage(PlanMatter):
    """The whole plan."""

    parts: tuple[PlanPart, ...]
    tried_href: str = Field(default="", exclude=True)
    keep_href: str = Field(default="", exclude=True)
    print_href: str = Field(default="", exclude=True)
    cards_href: str = Field(default="", exclude=True)
    posts_href: str = Field(default="", exclude=True)
    people_href: str = Field(default="", exclude=True)
    cards_run_href: str = Field(default="", exclude=True)
    rest_href: str = Field(default="", exclude=True)
    posts: tuple[PostShown, ...] = ()
    takt_at: float = 100.0
    typed: tuple[tuple[str, str], ...] = Field(default=(), exclude=True)
    unfolded: frozenset[str] = Field(default=frozenset(), exclude=True)

    def kept_for(self, part: PlanPart) -> tuple[tuple[str, str], ...]:
        """What is wished of the other parts, so that a form of this one keeps it."""
        own = {wish.name for wish in part.wishes}
        return tuple((name, said) for name, said in self.typed if name not in own)


def plan(opened: Opened, request: Request, desk: AtDesk) -> PlanPage:
    """How is the product made with these people, this floor and this cash, exactly as customers pull it?

    The address takes any wish by its name in the line file, such as `?balance.posts=8`; what is not named stays as the line file wishes.
    """
    ask = plan_asked(opened, request, desk)
    parts = ask.parts()
    return PlanPage(
        found=Found(text=ask.planned.sentence, look=ask.planned.look),
        parts=parts,
        unfolded=_unfolded(parts),
        tried_href=ask.part("/tried"),
        keep_href=ask.part("/into-line") if opened.revision is not None and not opened.earlier else "",
        print_href=ask.part(".pdf"),
        cards_href=ask.part("/cards.pdf"),
        posts_href=ask.part("/posts"),
        people_href=ask.part("/more-or-fewer"),
        cards_run_href=ask.part("/cards-in-forecast"),
        rest_href=ask.part("/rest"),
        typed=tuple(ask.wished.typed.items()),
        **_posts(ask),
        **ask.about("Plan"),
    )


def _unfolded(parts: tuple[PlanPart, ...]) -> frozenset[str]:
    """The chapters that stand open: those of which something is wished otherwise than in the line file, and those that are refused."""
    return frozenset(part.key for part in parts if part.refused or any(one.typed != one.in_file for one in part.wishes))


def _posts(ask: PlanAsked) -> dict[str, object]:
    """The picture of the posts; nothing where there is no balance."""
    try:
        balance = ask.planned.plan.posts.balance
    except (NoSuchPlan, BadPlanInput):
        return {}
    full = full_width(balance)
    return {
        "posts": tuple(post_shown(ask, balance, k, full) for k in range(len(balance.posts))), "takt_at": round(100 * balance.takt / full, 3),
    }  # fmt: skip


def register(pages: Pages) -> None:
    """Add the page of the plan."""
    everywhere(pages, "/plan", plan, "plan.html")

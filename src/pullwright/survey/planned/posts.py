"""The chapter of the posts: who does which element at which station, and why not with one post fewer."""

from __future__ import annotations

from pullwright.pull.balance.of_line import LineBalance, LinePost
from pullwright.pull.balance.wishes import percent
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable


def told_posts(plan: PullPlan) -> Chapter:
    """Which post does what, at which takt, and why are there so many?"""
    balance = plan.posts
    return Chapter(
        key="posts",
        title="Posts",
        sentence=" ".join((balance.sentence, *_too_few(balance))),
        look=bool(balance.beyond),
        tables=tuple(_tables(balance)),
        reasons=(*balance.beyond, *balance.reasons, *balance.notes, *balance.today),
        changes=balance.changes,
    )


def _too_few(balance: LineBalance) -> tuple[str, ...]:
    """Which people the posts want beyond those that there are: a plan that nobody stands at is none yet."""
    wanted = balance.beyond[1:] or balance.beyond
    return (f"{'; '.join(wanted)[:1].upper()}{'; '.join(wanted)[1:]}.",) if wanted else ()


def _tables(balance: LineBalance) -> list[PlanTable]:
    return [
        PlanTable(
            "The balance", ("",),
            (
                PlanRow("takt", (balance.figures.takt,)), PlanRow("work for one good unit", (balance.figures.work,)), PlanRow("people at the posts", (balance.figures.people,)),
                PlanRow("share of their time that is work", (balance.figures.efficiency,)), PlanRow("share that is idle", (balance.figures.loss,)),
                *_fullest(balance),
            ),
        ),
        PlanTable(
            "Each post", ("who", "does", "at", "round", "load"),
            tuple(_post(post) for post in balance.posts),
            () if balance.proven else (f"Not proven: no fewer than {balance.balance.at_least} posts are possible, and {len(balance.posts)} were found.",),
        ),
        PlanTable(
            "Element by element", ("post", "station", "time for one good unit"),
            tuple(PlanRow(task.name, (f"{post.number}{' (on the way back)' if task.back else ''}", task.station, task.time)) for post in balance.posts for task in post.tasks),
            behind=True,
        ),
    ]  # fmt: skip


def _fullest(balance: LineBalance) -> tuple[PlanRow, ...]:
    """The load of the fullest post, which a wish may hold down."""
    loads = balance.figures.loads
    if not loads:
        return ()
    most = balance.balance.conditions.load
    words = "load of the fullest post" + ("" if most is None else f", {percent(most)} wished at most")
    return (PlanRow(words, (max(loads, key=lambda load: load.value),)),)


def _post(post: LinePost) -> PlanRow:
    who = f"{post.people} of {post.crew}" if post.crew else f"{post.people}"
    return PlanRow(
        f"post {post.number}", (who, does(post), ", ".join(post.stations), post.round, post.load),
        "above the takt" if post.load.value > 1 + 1e-6 else "",
    )  # fmt: skip


def does(post: LinePost) -> str:
    """What is done at a post, short: whole steps by name, and elements of steps that are split.

    An element is named "STEP / ELEMENT"; of a step whose elements are all in a row here, the name of the step says enough.
    """
    by_step: dict[str, list[str]] = {}
    for task in post.tasks:
        step, _, what = task.name.partition(" / ")
        by_step.setdefault(step, []).append(what)
    return "; ".join(f"{step} ({', '.join(whats)})" if any(whats) else step for step, whats in by_step.items())

"""What a crew plan says, in sentences that a foreman would say: the plainest finding first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from pullwright.figure import Source, given, percent
from pullwright.flow import Flow
from pullwright.pull.crew.bounds import full_first
from pullwright.pull.crew.line_changes import why_taught
from pullwright.pull.crew.line_rows import AlongRow

if TYPE_CHECKING:
    from pullwright.pull.crew.of_line import CrewPlan


def sentences_of(flow: Flow, plan: CrewPlan) -> tuple[str, ...]:
    """What did the plan find?"""
    return (
        *_cannot(plan),
        *_people(flow, plan),
        *_along(plan),
        *_hangs(plan),
        *_cover(flow, plan),
        *_training(plan),
        *_machines(plan),
    )


def _cannot(plan: CrewPlan) -> Iterator[str]:
    for lesson in plan.lessons_needed:
        yield (
            f"Nobody can do {lesson.task}. The nearest plan that works has {lesson.crew} taught to do it; "
            "all that follows counts on that."
        )


def _people(flow: Flow, plan: CrewPlan) -> Iterator[str]:
    takt, busy = plan.takt.short(), plan.work.short()
    if plan.assumed:
        number = plan.skills.hands[0].people
        yield (
            f"No people are given. At a takt of {takt} the work keeps {busy} busy: "
            f"{_people_word(number)} would be enough if everybody could do everything. Give `people` in the line file for more."
        )
        return
    here = sum(crew.people for crew in plan.skills.hands)
    if plan.today is not None:
        crews = ", ".join(f"{number} {name}" for name, number in plan.today.crews.items())
        enough = "All of them are needed" if plan.today.people == here else f"{plan.today.people} of them are enough"
        yield f"At a takt of {takt} the work keeps {busy} busy, and {_people_word(here)} are here. {enough}: {crews}."
        return
    bound, _ = full_first(plan.skills)
    if bound is not None:
        tasks = _list([plan.skills.names[t] for t in bound.tasks])
        need = sum(plan.skills.tasks[t].time for t in bound.tasks) / plan.takt.value
        have = sum(plan.skills.hands[c].people * plan.skills.hands[c].there for c in bound.crews)
        yield (
            f"{_people_word(here)} cannot keep a takt of {takt}: {tasks} need {need:.3g} people, and only "
            f"{_list([plan.skills.crews[c] for c in bound.crews])} can do that, with {have:.3g}."
        )
    more = _list([f"{number} more in {name}" for name, number in plan.more.items()])
    kept = f"They can keep {_time(plan.kept)}; " if plan.kept < float("inf") else ""
    yield f"{kept}{more} would be enough." if kept else f"{more} would be enough.".capitalize()


def _along(plan: CrewPlan) -> Iterator[str]:
    if plan.along_today is not None:
        row = plan.along_today
        yield (
            f"If everybody does neighbouring work only, {_people_word(row.along.people)} keep the takt, with a longest round of "
            f"{row.takt.short()}; they hand over {_hand_overs(row)}."
        )
    elif plan.along_wanted is not None:
        row = plan.along_wanted
        crews: dict[str, int] = {}
        for post in row.along.posts:
            crews[post.crew] = crews.get(post.crew, 0) + post.people
        of = "" if plan.assumed else f" ({', '.join(f'{number} {name}' for name, number in crews.items())})"
        begin = (
            ""
            if plan.assumed
            else "today's people cannot keep the takt, because what different crews can do alternates along the way; "
        )
        yield (
            f"If everybody does neighbouring work only, {begin}{_people_word(row.along.people)}{of} could, with a longest round of "
            f"{row.takt.short()}; they would hand over {_hand_overs(row)}."
        )
    elif plan.rows:
        yield "If everybody does neighbouring work only, no crew can keep the takt: one element alone takes longer."
    for relay in plan.relays:
        if relay.settled.value < relay.fixed.value * (1 - 1e-6):
            points = _list([f"in {inside}" for inside in relay.inside])
            yield (
                f"From {relay.first} to {relay.last} {relay.people} of {relay.crew} could take over from one another wherever they meet, "
                f"the slowest first: they would come to hand over {points}, one unit every {relay.settled.short()} instead of {relay.fixed.short()}."
            )


def _hangs(plan: CrewPlan) -> Iterator[str]:
    tasks = [row.task for row in plan.tasks if row.hangs_on_one]
    if tasks and not plan.assumed:
        hangs, it = ("hangs", "it stands") if len(tasks) == 1 else ("hang", "they stand")
        yield f"{_list(tasks)} {hangs} on one person: when that one is away, {it} still."


def _cover(flow: Flow, plan: CrewPlan) -> Iterator[str]:
    if plan.cover is None or plan.chance is None or plan.share is None:
        return
    lot = f" (on {plan.cover.days} days drawn by lot)" if plan.cover.days else ""
    silent = [crew.name for crew in flow.line.people if crew.absent is None]
    if len(silent) < len(flow.line.people):
        yield (
            f"With people away as usual, those who are there can make the day's demand on {plan.chance.short()} of the days, "
            f"and {plan.share.short()} of the demand on average{lot}."
        )
        if plan.cover.weak:
            weak = plan.cover.weak[0]
            yield (
                f"It breaks most often at {_list(weak.tasks)}, which only {_list(weak.crews)} can do: on {percent(weak.chance)} of the days."
            )
    if silent:
        yield f"How many are away is not given for {_list(silent)} (`people: absent`): nobody of them is counted as away."
    away = plan.cover.one_away
    worst = min(range(len(away)), key=lambda c: away[c])
    if plan.enough and away[worst] < 1:
        yield (
            f"When one of {plan.skills.crews[worst]} is away and nobody else, {percent(away[worst])} of the demand can be made."
        )
    elif plan.enough:
        yield "When any one person is away, the others can still make all of the demand."


def _training(plan: CrewPlan) -> Iterator[str]:
    if plan.training is None:
        return
    best = plan.training.best
    if best is None:
        yield "No lesson makes anything better: people are not what is short."
        return
    lessons = _list([f"{lesson.people} of {lesson.crew} to do {lesson.task}" for lesson in best.lessons])
    alone = " Neither helps alone." if len(best.lessons) > 1 else ""
    yield f"Train next: {lessons}; {why_taught(plan, best)}.{alone}"
    if plan.training.pairs_left:
        yield f"{plan.training.pairs_left} pairs of lessons that might help together were not looked at: there are too many."


def _machines(plan: CrewPlan) -> Iterator[str]:
    yield f"Below a takt of {plan.machines.short()} a station is short, however many people there are."


def _hand_overs(row: AlongRow) -> str:
    overs = [f"behind {over.behind}" for over in row.along.hand_overs]
    return _list(overs) if overs else "nowhere: one post does all of it"


def _list(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def _people_word(number: int) -> str:
    return "1 person" if number == 1 else f"{number} people"


def _time(seconds: float) -> str:
    return given("takt", seconds, "s", Source("computed", "takt")).short()

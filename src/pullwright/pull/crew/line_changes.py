"""What a crew plan changes in the line file: skills that are taught, people who are added, each with its reason."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

from pullwright.figure import percent
from pullwright.flow import Flow
from pullwright.line.yaml_tree import read_tree
from pullwright.pull.changes import Change
from pullwright.pull.crew.training import Lesson

if TYPE_CHECKING:
    from pullwright.pull.crew.of_line import CrewPlan


def changes_of(flow: Flow, plan: CrewPlan) -> tuple[Change, ...]:
    """Which fields of the line file does the plan change: what nobody can do yet, people who are lacking, the best lesson?"""
    if plan.assumed:
        number = plan.skills.hands[0].people
        because = f"no people are given: the work keeps {plan.work.short()} busy at the takt, {number} if everybody can do everything"
        return (Change(("people",), [{"name": "crew", "number": number}], because),)
    found: list[Change] = []
    for lesson in plan.lessons_needed:
        found += taught(
            flow, lesson, f"nobody can do {lesson.task}, and {lesson.crew} can learn it with the least harm to the takt"
        )
    for crew, number in plan.more.items():
        c = plan.skills.crews.index(crew)
        because = (
            f"all people together can keep a takt of {plan.kept / 60:.3g} min, and {plan.takt.short()} is asked for"
        )
        found.append(Change(("people", c, "number"), plan.skills.hands[c].people + number, because))
    if plan.training and not plan.more and not plan.lessons_needed:
        best = plan.training.single or plan.training.together
        for lesson in best[0].lessons if best else ():
            found += taught(flow, lesson, why_taught(plan, lesson))
            break
    return tuple(found)


def why_taught(plan: CrewPlan, lesson: Lesson) -> str:
    """Why is this lesson worth it, in one sentence?"""
    assert plan.training is not None
    training = plan.training
    best = next((one for one in (*training.single, *training.together) if lesson in one.lessons), None)
    if best is None:
        return f"{lesson.task} hangs on too few people"
    today, then = training.today, best.worth
    if then.chance > today.chance + 1e-9:
        return f"the chance to make the day's demand rises from {percent(today.chance)} to {percent(then.chance)}"
    if then.share > today.share + 1e-9:
        return f"the share of the demand that is made on average rises from {percent(today.share)} to {percent(then.share)}"
    if then.one_away > today.one_away + 1e-9:
        return f"with one person away, {percent(then.one_away)} of the demand can be made on average, and {percent(today.one_away)} today"
    if then.takt < today.takt:
        return f"all people together could keep a takt of {then.takt / 60:.3g} min instead of {today.takt / 60:.3g} min"
    return f"{best.smallest} people would be enough instead of {training.smallest}"


def taught(flow: Flow, lesson: Lesson, because: str) -> list[Change]:
    """The fields that teach a crew, or a part of it, which then becomes a crew of its own."""
    people = flow.line.people
    c = next(k for k, crew in enumerate(people) if crew.name == lesson.crew)
    crew = people[c]
    skills = [*(crew.skills or ()), lesson.task]
    if lesson.people >= crew.number:
        return [Change(("people", c, "skills"), skills, because)]
    typed: dict[str, Any] = copy.deepcopy(read_tree(flow.line.text).data["people"][c])
    new = typed | {"name": f"{crew.name}, also {lesson.task}", "number": lesson.people, "skills": skills}
    return [
        Change(("people", c, "number"), crew.number - lesson.people, because),
        Change(("people", len(people)), new, because),
    ]

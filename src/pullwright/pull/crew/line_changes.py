"""What a crew plan changes in the line file: skills that are taught, people who are added, each with its reason."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import TYPE_CHECKING

from pullwright.figure import percent
from pullwright.flow import Flow
from pullwright.line.yaml_tree import read_tree
from pullwright.pull.changes import Change
from pullwright.pull.crew.training import Lesson, Trained

if TYPE_CHECKING:
    from pullwright.pull.crew.of_line import CrewPlan


def changes_of(flow: Flow, plan: CrewPlan) -> tuple[Change, ...]:
    """Which fields of the line file does the plan change: what nobody can do yet, people who are lacking, the best lesson?"""
    if plan.assumed:
        number = plan.skills.hands[0].people
        because = f"no people are given: the work keeps {plan.work.short()} busy at the takt, {number} if everybody can do everything"
        return (Change(("people",), [{"name": "crew", "number": number}], because),)
    because = "nobody can do it yet, and so it harms the takt least"
    found = taught(flow, plan.lessons_needed, because)
    for crew, number in plan.more.items():
        c = plan.skills.crews.index(crew)
        because = (
            f"all people together can keep a takt of {plan.kept / 60:.3g} min, and {plan.takt.short()} is asked for"
        )
        found.append(Change(("people", c, "number"), plan.skills.hands[c].people + number, because))
    best = plan.training.best if plan.training and not plan.more and not plan.lessons_needed else None
    if best is not None:
        found += taught(flow, best.lessons, why_taught(plan, best))
    return tuple(found)


def why_taught(plan: CrewPlan, best: Trained) -> str:
    """Why are these lessons worth it, in one sentence?"""
    assert plan.training is not None
    training = plan.training
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


def taught(flow: Flow, lessons: Sequence[Lesson], because: str) -> list[Change]:
    """The fields that teach crews, or a part of a crew, which then becomes a crew of its own."""
    people = flow.line.people
    typed = read_tree(flow.line.text).data["people"] if lessons else []
    found: list[Change] = []
    added = len(people)
    for c, crew in enumerate(people):
        skills, number = list(crew.skills or ()), crew.number
        for lesson in lessons:
            if lesson.crew != crew.name:
                continue
            if lesson.people >= number:
                skills.append(lesson.task)
                continue
            number -= lesson.people
            own = {
                "name": f"{crew.name}, also {lesson.task}",
                "number": lesson.people,
                "skills": [*skills, lesson.task],
            }
            found.append(Change(("people", added), copy.deepcopy(typed[c]) | own, because))
            added += 1
        if number != crew.number:
            found.append(Change(("people", c, "number"), number, because))
        if len(skills) != len(crew.skills or ()):
            found.append(Change(("people", c, "skills"), skills, because))
    return found

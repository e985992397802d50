"""What a balance changes in the people of a line file, so that it can be tried as an option."""

from __future__ import annotations

from typing import Any

from pullwright.flow import Flow
from pullwright.pull.balance.line_elements import LineElements
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.changes import Change


def crew_changes(flow: Flow, plan: WishedBalance, made: LineElements) -> tuple[tuple[Change, ...], tuple[str, ...]]:
    """The crews of the line file, one for each post (posts with the same steps share one), and what a forecast of them cannot tell exactly.

    A post's crew has the steps of its round as its skills, and wage, shifts and absence of the crew that fills it. A post that only carries
    has all steps that it carries for: none, so that it takes over the skills of the crew that fills it.
    """
    if flow.people.assumed:
        return (), ()
    typed = {crew.name: flow.line.typed(("people", c)) or {} for c, crew in enumerate(flow.line.people)}
    crews: dict[tuple[str, tuple[str, ...]], list[int]] = {}
    for k, one in enumerate(plan.rounds):
        if one.elements:
            steps = tuple(
                flow.line.steps[i].name
                for i in dict.fromkeys(made.steps[name] for name in one.elements if name in made.steps)
            )
            crews.setdefault((one.crew, steps), []).append(k)
    written: list[dict[str, Any]] = []
    for (crew, steps), at in crews.items():
        entry = dict(typed.get(crew, {}))
        where = " and ".join(str(k + 1) for k in at)
        entry.update(name=f"post{'s' if len(at) > 1 else ''} {where}" + (f" ({crew})" if crew else ""))
        entry.update(number=sum(plan.rounds[k].people for k in at))
        if steps:
            entry.update(skills=list(steps))
        written.append(entry)
    split = [
        step.name
        for i, step in enumerate(flow.line.steps)
        if sum(any(made.steps.get(name) == i for name in one.elements) for one in plan.rounds) > 1
    ]
    rough: tuple[str, ...] = ()
    if split:
        rough = (
            f"{', '.join(split)}: their elements are at several posts; a forecast lets any of these posts do the whole step, so that it tells of them only roughly",
        )
    change = Change(
        ("people",),
        written,
        f"one crew for each of the {len(plan.posts)} posts, with the steps of its round as its skills",
    )
    return (change,), rough

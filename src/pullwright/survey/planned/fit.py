"""The chapter of the fit: floor, people and cash against what there is, and the smallest changes where it does not fit."""

from __future__ import annotations

from pullwright.pull.fit.of_plan import ChangeSet, Fit
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable


def told_fit(plan: PullPlan) -> Chapter:
    """Does the plan fit the floor, the people and the cash, and what gives first if it does not?"""
    fit = plan.fit
    return Chapter(
        key="fit",
        title="Does it fit?",
        sentence=fit.sentences[0] if fit.sentences else "",
        look=fit.fits is False,
        tables=tuple(_tables(fit)),
        reasons=fit.sentences[1:],
    )


def _tables(fit: Fit) -> list[PlanTable]:
    found = [
        PlanTable(
            "What the plan takes against what there is", ("there is", "the plan takes", "left"),
            tuple(PlanRow(side.name, (side.there, side.taken, side.left), "too little" if side.short > 0 else "") for side in fit.sides),
            (*(side.note for side in fit.sides if side.note), "People are counted by their time, as if work could be shared at will; posts need more, because a round is not cut at will."),
        )
    ]  # fmt: skip
    for made, caption in (
        (fit.cheapest, "The cheapest changes with which it fits"),
        (fit.fewest, "The fewest changes with which it fits"),
        (fit.nearest, "What comes nearest: no changes that are known make it fit"),
    ):
        if made is not None and made.made:
            found.append(_set(made, caption))
    found += [
        PlanTable(f"The rows of the {side.name}", ("amount",), tuple(PlanRow(row.words + (" (planned)" if row.asked else ""), (row.amount,)) for row in side.rows), behind=True)
        for side in fit.sides
    ]  # fmt: skip
    return found


def _set(made: ChangeSet, caption: str) -> PlanTable:
    rows = [
        PlanRow(one.said(times), (one.floor, one.people, one.cash, one.yearly or "nobody has said", one.assumed))
        for one, times in made.made
    ]
    rows.append(PlanRow("together", (made.floor, made.people, made.cash, made.yearly, "")))
    return PlanTable(caption, ("gives floor", "people", "cash", "costs a year", "taken for granted"), tuple(rows))

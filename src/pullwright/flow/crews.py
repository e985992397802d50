"""How full are the people: the attended work of each step, who does it, and the load of each crew."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates, StepRates
from pullwright.flow.sharing import share_work
from pullwright.flow.stations import full
from pullwright.line import Line
from pullwright.line.kinds import KINDS, KindKey
from pullwright.line.model import Crew, Step


@dataclass(frozen=True, slots=True)
class CrewLoad:
    """A crew: its people, the working time that they have in a day, the attended work that falls to it, and its load."""

    name: str
    number: Figure
    available: Figure
    work: Figure
    load: Figure
    shares: dict[int, float]
    """Share of each step's attended work that this crew does, by index of the step."""


@dataclass(frozen=True, slots=True)
class People:
    """All attended work of a working day by step and purpose (person-s/wd), and the crews that do it."""

    by_step: dict[int, dict[KindKey, Figure]]
    attended: dict[int, Figure]
    crews: tuple[CrewLoad, ...]
    paid: Figure
    """Paid person-time of a working day (person-s/wd)."""
    pauses: Figure
    """Paid breaks and planned stops of a working day (person-s/wd)."""
    assumed: bool
    """No people are given: as many as the work needs are assumed."""


def people_of(givens: Givens, rates: Rates) -> People:
    """How much attended work is there in a working day, and how full does it make each crew?"""
    by_step = {step.index: _attended(givens, step) for step in rates.steps}
    attended = {
        i: derive(
            f"attended a day / {givens.line.steps[i].name}",
            lambda *w: sum(w),
            *kinds.values(),
            unit="person-s/wd",
            formula="sum over what it is for",
        )
        for i, kinds in by_step.items()
        if kinds
    }
    line = givens.line
    if not line.people:
        return _assumed(givens, by_step, attended)
    numbers = [givens.number(("people", c, "number"), crew.number, "persons") for c, crew in enumerate(line.people)]
    available = [
        _times(f"working time / {crew.name}", number, givens.day_seconds(crew.shifts))
        for crew, number in zip(line.people, numbers, strict=True)
    ]
    shares = crew_shares(
        line, {i: figure.value for i, figure in attended.items()}, [figure.value for figure in available]
    )
    crews = []
    for c, (crew, part) in enumerate(zip(line.people, shares, strict=True)):
        given_shares = [
            given(
                f"share done by the crew / {crew.name} / {line.steps[i].name}",
                share,
                "share",
                Source("computed", _WHO[_skilled(line, i)]),
            )
            for i, share in part.items()
        ]
        inputs = [figure for i, share in zip(part, given_shares, strict=True) for figure in (attended[i], share)]
        work = derive(
            f"attended a day by the crew / {crew.name}",
            lambda n, *v: n * 0 + sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
            numbers[c],
            *inputs,
            unit="person-s/wd",
            formula="sum over the steps of attended work x share done by this crew",
        )
        load = derive(
            f"load of the crew / {crew.name}",
            lambda w, a: full(w, 1.0, a),
            work,
            available[c],
            unit="share",
            formula="attended work a day / working time of the crew",
        )
        crews.append(CrewLoad(crew.name, numbers[c], available[c], work, load, part))
    paid = [
        _times(f"paid time / {crew.name}", number, givens.paid_seconds(crew.shifts))
        for crew, number in zip(line.people, numbers, strict=True)
    ]
    pauses = [
        _times(f"paid pauses / {crew.name}", number, givens.paid_pauses(crew.shifts))
        for crew, number in zip(line.people, numbers, strict=True)
    ]
    return People(
        by_step,
        attended,
        tuple(crews),
        _sum("paid time", paid),
        _sum("paid breaks and planned stops", pauses),
        assumed=False,
    )


def crew_shares(line: Line, attended: Mapping[int, float], available: Sequence[float]) -> tuple[dict[int, float], ...]:
    """Which share of each step's attended work does each crew do, where nobody is fuller than need be?

    `attended`: person-seconds by index of the step; `available`: person-seconds of each crew. Result: a crew's shares by index of the step; see `share_work`.
    """
    shares = share_work(list(attended.values()), [_able(line, i) for i in attended], available)
    return tuple(
        {i: float(shares[row, c]) for row, i in enumerate(attended) if shares[row, c] > 1e-9}
        for c in range(len(line.people))
    )


_WHO = {
    True: "shared so that the loads of the crews are as even as their skills allow",
    False: "nobody is said to have the skill for it: taken as done by every crew alike",
}


def _skilled(line: Line, i: int) -> bool:
    return any(can_do(crew, line.steps[i]) for crew in line.people)


def _able(line: Line, i: int) -> list[bool]:
    """Which crews can do step `i`? Work that nobody has the skill for is still there, and counted as everybody's."""
    found = [can_do(crew, line.steps[i]) for crew in line.people]
    return found if any(found) else [True] * len(found)


def can_do(crew: Crew, step: Step) -> bool:
    """Can people of this crew do this step? They can do all steps where nothing is said."""
    return crew.skills is None or step.name in crew.skills or step.station in crew.skills


def _attended(givens: Givens, step: StepRates) -> dict[KindKey, Figure]:
    """Attended work of a step in a working day by purpose; visits beyond those needed are "again"."""
    parts: dict[KindKey, list[Figure]] = {}
    slower = elsewhere(givens, step)
    longer = " x how much longer elsewhere" if slower else ""
    for group in step.groups:
        tail = step.name if len(step.groups) == 1 else f"{step.name} / {' and '.join(group.work.products)}"
        for kind, seconds in group.work.people.items():
            parts.setdefault(kind, []).append(
                _product(
                    f"attended a day / {tail} / {kind}",
                    group.needed,
                    seconds,
                    *slower,
                    formula=f"pieces needed x attended time by purpose{longer}",
                )
            )
        if group.work.people:
            name = f"attended a day / {tail} / pieces beyond those needed"
            parts.setdefault("again", []).append(
                derive(
                    name,
                    lambda s, n, a, *more: np.maximum(s - n, 0.0) * a * (more[0] if more else 1.0),
                    group.started,
                    group.needed,
                    group.work.attended,
                    *slower,
                    unit="person-s/wd",
                    formula=f"(pieces started - pieces needed) x attended time{longer}",
                )
            )
    if step.repair is not None and step.repair.people.value > 0:
        parts.setdefault("again", []).append(
            _product(
                f"attended a day / {step.name} / put right on the spot",
                step.started,
                step.repair.share,
                step.repair.time,
                step.repair.people,
                *slower,
                formula=f"pieces started x share x time of putting right x people{longer}",
            )
        )
    if step.set_up is not None and step.set_up.people.value > 0:
        parts.setdefault("needed", []).append(
            _product(
                f"attended a day / {step.name} / set-ups",
                step.set_up.per_day,
                step.set_up.time,
                step.set_up.people,
                formula="set-ups a day x set-up time x people",
            )
        )
    order = [kind.key for kind in KINDS if kind.key in parts]
    return {
        kind: derive(
            f"attended a day, in all / {step.name} / {kind}",
            lambda *w: sum(w),
            *parts[kind],
            unit="person-s/wd",
            formula="sum",
        )
        for kind in order
    }


def elsewhere(givens: Givens, step: StepRates) -> tuple[Figure, ...]:
    """How much longer the step takes on average because other stations do a share of it more slowly; empty where none does."""
    others = givens.line.steps[step.index].also_at
    pairs = [
        givens.figure(("steps", step.index, "also_at", k, field))
        for k, other in enumerate(others)
        if other.times is not None
        for field in ("share", "times")
    ]
    if not pairs:
        return ()
    longer = givens.once(("how much longer elsewhere", step.index), lambda: derive(
        f"how much longer elsewhere / {step.name}", lambda *v: 1 + sum(v[k] * (v[k + 1] - 1) for k in range(0, len(v), 2)), *pairs,
        unit="1", formula="1 + sum of share there x (how much longer it takes there - 1)",
    ))  # fmt: skip
    return (longer,)


def _assumed(givens: Givens, by_step: dict[int, dict[KindKey, Figure]], attended: dict[int, Figure]) -> People:
    day = givens.day_seconds()
    total = sum(figure.value for figure in attended.values())
    source = Source("common practice", "no people are given: as many as the attended work needs, rounded up")
    number = given(
        "people assumed",
        float(max(1, math.ceil(total / day.value - 1e-9))),
        "persons",
        source,
        note="give `people` in the line file for the real number",
    )
    available = _times("working time / people assumed", number, day)
    work = derive(
        "attended a day by the crew / people assumed",
        lambda n, *v: n * 0 + sum(v),
        number,
        *attended.values(),
        unit="person-s/wd",
        formula="sum over the steps",
    )
    load = derive(
        "load of the crew / people assumed",
        lambda w, a: full(w, 1.0, a),
        work,
        available,
        unit="share",
        formula="attended work a day / working time of the crew",
    )
    crew = CrewLoad("people assumed", number, available, work, load, dict.fromkeys(attended, 1.0))
    paid = _times("paid time", number, givens.paid_seconds())
    return People(
        by_step,
        attended,
        (crew,),
        paid,
        _times("paid breaks and planned stops", number, givens.paid_pauses()),
        assumed=True,
    )


def _times(name: str, number: Figure, seconds: Figure) -> Figure:
    return derive(name, lambda n, s: n * s, number, seconds, unit="person-s/wd", formula=f"people x {seconds.name}")


def _product(name: str, *figures: Figure, formula: str) -> Figure:
    def product(*values: Any) -> Any:
        found = values[0]
        for value in values[1:]:
            found = found * value
        return found

    return derive(name, product, *figures, unit="person-s/wd", formula=formula)


def _sum(name: str, figures: list[Figure]) -> Figure:
    return derive(name, lambda *v: sum(v), *figures, unit="person-s/wd", formula="sum over the crews")

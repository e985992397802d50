"""Have people time for the set-ups of all stations together, and how much longer would lots have to be for that?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.flow.crews import CrewLoad
from pullwright.pull.lots.made_there import Made

FULLEST = 0.95
"""No crew is filled above this share of its time by smaller lots (common practice); one that is fuller today is not filled further."""
Planned = Mapping[int, list[tuple[Made, Figure]]]
"""By step: what is made there, and in how many pieces at a time."""


@dataclass(frozen=True, slots=True)
class CrewSetUps:
    """What set-ups take of a crew's day: today, and with the lots of the plan (person-s/wd); its load then (share)."""

    name: str
    today: Figure
    planned: Figure
    load_today: Figure
    load: Figure

    def figures(self) -> tuple[Figure, ...]:
        """What was worked out here."""
        return (self.today, self.planned, self.load)


def stretch_of(flow: Flow, needs: Mapping[int, float]) -> dict[int, tuple[float, str]]:
    """By how much must the interval of each step be longer for its people to have time, and whose time it is? 1 and "" where they have it.

    `needs`: people's time for set-ups at each step (person-s a day). Every crew keeps its share of each step. People who are only assumed are never
    short.
    """
    found = dict.fromkeys(needs, (1.0, ""))
    for crew in () if flow.people.assumed else flow.people.crews:
        steps = [i for i in needs if crew.shares.get(i, 0.0) > 1e-6]
        wanted = sum(crew.shares[i] * needs[i] for i in steps)
        has = max(FULLEST, crew.load.value) * crew.available.value - crew.work.value
        has += sum(crew.shares[i] * _today(flow, i) for i in steps)
        if wanted > has > 0:
            for i in steps:
                found[i] = max(found[i], (wanted / has, crew.name))
    return found


def crews_of(flow: Flow, planned: Planned) -> tuple[CrewSetUps, ...]:
    """How full does each crew become that has set-ups to do?"""
    crews = () if flow.people.assumed else flow.people.crews
    return tuple(_crew(flow, crew, planned) for crew in crews if any(i in planned for i in crew.shares))


def _crew(flow: Flow, crew: CrewLoad, planned: Planned) -> CrewSetUps:
    steps = [i for i in planned if i in crew.shares]
    shares = {
        i: given(f"lots / share of the set-ups done by the crew / {crew.name} / {flow.rates.steps[i].name}", crew.shares[i], "share", Source("computed", "its share of the step's attended work today"))
        for i in steps
    }  # fmt: skip
    now, then = [], []
    for i in steps:
        ready = flow.rates.steps[i].set_up
        if ready is not None:
            now += [shares[i], ready.per_day, ready.time, ready.people]
        for one, pieces in planned[i]:
            then += [shares[i], one.started, pieces, one.set_up, one.people]
    today = derive(
        f"lots / set-ups today / crew {crew.name}",
        lambda w, *v: 0 * w + sum(v[k] * v[k + 1] * v[k + 2] * v[k + 3] for k in range(0, len(v), 4)),
        crew.number, *now, unit="person-s/wd", formula="sum over its steps of share x set-ups a day x set-up time x people",
    )  # fmt: skip
    will = derive(
        f"lots / set-ups planned / crew {crew.name}",
        lambda w, *v: 0 * w + sum(v[k] * v[k + 1] / v[k + 2] * v[k + 3] * v[k + 4] for k in range(0, len(v), 5)),
        crew.number, *then, unit="person-s/wd", formula="sum over its steps of share x pieces a day / lot x set-up time x people",
    )  # fmt: skip
    load = derive(
        f"lots / load planned / crew {crew.name}",
        _load,
        crew.work,
        today,
        will,
        crew.available,
        unit="share",
        formula="(attended work - set-ups today + set-ups planned) / working time",
    )
    return CrewSetUps(crew.name, today, will, crew.load, load)


def _load(work: Any, today: Any, planned: Any, available: Any) -> Any:
    some = np.asarray(available) > 0
    rest = np.maximum(work - today, 0.0) + planned
    return np.where(some, rest / np.where(some, available, 1.0), np.where(rest > 0, np.inf, 0.0))


def _today(flow: Flow, i: int) -> float:
    ready = flow.rates.steps[i].set_up
    return 0.0 if ready is None else ready.per_day.value * ready.time.value * ready.people.value

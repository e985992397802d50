"""Who waits, and for what: machines that are watched, repairs, and work that does not come."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stations import StationLoad

_UNIT = "person-s/wd"


def waiting_time(paid: Figure, watching: Figure, work: tuple[Figure, ...]) -> Figure:
    """How much paid time is waiting, where nobody has looked (person-s/wd)? Watching machines, and all that is left without work."""
    idle = derive(
        "hours / paid time without work",
        lambda p, *w: p - sum(w),
        paid,
        *work,
        watching,
        unit=_UNIT,
        formula="paid time - all work that was found",
    )
    return derive(
        "hours / waiting",
        lambda w, i: w + np.maximum(i, 0.0),
        watching,
        idle,
        unit=_UNIT,
        formula="watching and waiting at the steps + paid time without work, where there is some",
    )


def waiting_parts(flow: Flow, waiting: Figure, watching: Figure) -> tuple[Figure, ...]:
    """What does the waiting consist of (person-s/wd each)? Watching at the steps, then repairs, then the rest; together never more than all."""
    at_steps = derive(
        "hours / waiting / at the steps",
        lambda a, w: np.minimum(a, w),
        waiting,
        watching,
        unit=_UNIT,
        formula="watching machines and waiting at the steps, at most all waiting",
    )
    repair = derive(
        "hours / waiting / for repair",
        lambda a, w, *s: np.minimum(a - w, sum(s)) if s else 0.0 * a,
        waiting,
        at_steps,
        *(figure for station in flow.stations if (figure := _standing(flow, station)) is not None),
        unit=_UNIT,
        formula="hands at machines that stand still, at most what is left of the waiting",
    )
    rest = derive(
        "hours / waiting / for work",
        lambda a, w, s: a - w - s,
        waiting,
        at_steps,
        repair,
        unit=_UNIT,
        formula="all waiting - at the steps - for repair (imbalance, starving, blocking)",
    )
    return at_steps, repair, rest


def _standing(flow: Flow, station: StationLoad) -> Figure | None:
    """How long do the hands at a station stand beside it while it is repaired (person-s/wd)? Set-ups do not break down."""
    if station.up is None:
        return None
    inputs: list[Figure] = []
    shapes: list[tuple[int, bool]] = []
    for at in station.steps:
        attended = flow.people.attended.get(at.step.index)
        if attended is None:
            continue
        made_ready = at.step.set_up
        set_up = () if made_ready is None else (made_ready.per_day, made_ready.time, made_ready.people)
        share = () if at.share is None else (at.share,)
        inputs += [attended, *set_up, *share]
        shapes.append((len(set_up), bool(share)))
    if not inputs:
        return None

    def standing(made: Any, up: Any, *values: Any) -> Any:
        hands, k = 0.0, 0
        for set_up, shared in shapes:
            own = values[k]
            if set_up:
                own = own - values[k + 1] * values[k + 2] * values[k + 3]
            k += 1 + set_up
            if shared:
                own, k = own * values[k], k + 1
            hands = hands + own
        return made * hands * (1 / up - 1)

    return derive(
        f"hours / hands at {station.name} while it stands still",
        standing,
        flow.made,
        station.up,
        *inputs,
        unit=_UNIT,
        formula="attended work there without set-ups x (1 / availability - 1), as far as made",
    )

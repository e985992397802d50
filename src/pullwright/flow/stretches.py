"""The ladder as the ribbon shows it: what waits and is carried before each step as one stretch, then the work."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pullwright.figure import Figure, derive
from pullwright.flow.in_days import in_days
from pullwright.flow.ladder import ChainLadder, Rung


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of the lead time (s): a wait with the carrying in it (`touch` False), or work; `step` is the one that it leads to or is.

    `step` is None for what comes behind the last step. `days` is the same in working days; None for work.
    """

    name: str
    time: Figure
    touch: bool
    step: int | None
    days: Figure | None = None


def stretches_of(ladder: ChainLadder, day: Figure | None = None) -> tuple[Stretch, ...]:
    """Where is a piece, one stretch after another, with waits and moves between two steps put together?

    Parameters: `ladder` of one flow; `day`, the net working time of a working day (s), for waits in working days.
    """
    found: list[Stretch] = []
    between: list[Rung] = []
    for rung in ladder.rungs:
        if rung.kind != "touch":
            between.append(rung)
            continue
        if between:
            found.append(_between(f"before {rung.name}", between, rung.step))
            between = []
        found.append(Stretch(rung.name, rung.time, True, rung.step))
    if between:
        waits = [rung for rung in between if rung.kind == "waiting"]
        found.append(_between(waits[0].name if waits else between[0].name, between, None))
    if day is None:
        return tuple(found)
    return tuple(one if one.touch else replace(one, days=in_days(one.time, day)) for one in found)


def _between(name: str, rungs: list[Rung], step: int | None) -> Stretch:
    if len(rungs) == 1:
        return Stretch(name, rungs[0].time, False, step)
    time = derive(
        f"under way / {name}",
        lambda *t: sum(t),
        *(rung.time for rung in rungs),
        unit="s",
        formula="sum of waiting and carrying before it",
    )
    return Stretch(name, time, False, step)

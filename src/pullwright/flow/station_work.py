"""What the time of a station goes into in a working day: its steps by purpose, what is done again, set-ups, standing still."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.process_time import AtStation
from pullwright.line.kinds import KINDS, KindKey


def work_by_purpose(name: str, steps: tuple[AtStation, ...], up: Figure | None) -> dict[KindKey, Figure]:
    """The station's time in a working day by what it is for; what is done beyond one right visit is "again", outages are waiting."""
    parts: dict[KindKey, list[Figure]] = {}
    running: list[Figure] = []

    def add(kind: KindKey, figure: Figure, *, runs: bool = True) -> None:
        parts.setdefault(kind, []).append(figure)
        if runs:
            running.append(figure)

    for at in steps:
        step, own = at.step, tuple(figure for figure in (at.share, at.times) if figure is not None)
        tail = f"{name} / {step.name}"
        times = "" if not own else " x share there x how much longer it takes there"
        for group in step.groups:
            who = "" if len(step.groups) == 1 else f" / {' and '.join(group.work.products)}"
            for kind, seconds in group.work.kinds.items():
                add(
                    kind,
                    derive(
                        f"work a day / {tail}{who} / {kind}",
                        _product,
                        group.needed,
                        seconds,
                        *own,
                        unit="s/wd",
                        formula=f"pieces needed x time by purpose{times}",
                    ),
                )
            add(
                "again",
                derive(
                    f"work a day / {tail}{who} / pieces beyond those needed",
                    _excess,
                    group.started,
                    group.needed,
                    group.work.cycle,
                    *own,
                    unit="s/wd",
                    formula=f"(pieces started - pieces needed) x cycle time{times}",
                ),
            )
        if step.repair is not None:
            add(
                "again",
                derive(
                    f"work a day / {tail} / put right on the spot",
                    _product,
                    step.started,
                    step.repair.share,
                    step.repair.time,
                    *own,
                    unit="s/wd",
                    formula=f"pieces started x share x time of putting right{times}",
                ),
            )
        if step.set_up is not None:
            own_share = (at.share,) if at.share is not None else ()
            add(
                "needed",
                derive(
                    f"work a day / {tail} / set-ups",
                    _product,
                    step.set_up.per_day,
                    step.set_up.time,
                    *own_share,
                    unit="s/wd",
                    formula="set-ups a day x set-up time",
                ),
                runs=False,
            )
    if up is not None:
        down = derive(
            f"work a day / {name} / standing still",
            lambda a, *w: sum(w) * (1 / a - 1),
            up,
            *running,
            unit="s/wd",
            formula="running time x (1 / availability - 1)",
        )
        parts.setdefault("waiting", []).append(down)
    order = [kind.key for kind in KINDS if kind.key in parts]
    return {
        kind: derive(
            f"work a day / {name} / {kind}", lambda *w: sum(w), *parts[kind], unit="s/wd", formula="sum over its steps"
        )
        for kind in order
    }


def _product(*values: Any) -> Any:
    found = values[0]
    for value in values[1:]:
        found = found * value
    return found


def _excess(started: Any, needed: Any, cycle: Any, *own: Any) -> Any:
    return _product(np.maximum(started - needed, 0.0), cycle, *own)

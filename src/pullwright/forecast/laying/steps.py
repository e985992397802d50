"""Steps: people, set-ups, lots, scrap and rework, and what lets them begin."""

from __future__ import annotations

import numpy as np

from pullwright.flow.givens import Path
from pullwright.flow.losses import losses_of
from pullwright.forecast.errors import CannotRun
from pullwright.forecast.events.rows import CAPPED, CARDED, FREE, ORDERED, PUSHED
from pullwright.forecast.laying.own import shared_cards
from pullwright.forecast.laying.rooms import capacities, finished_capacity
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER
from pullwright.line.model import Step

_RELEASE = {"push": PUSHED, "cards": CARDED, "cap": CAPPED, "order": ORDERED}
_FLOAT_COLUMNS = frozenset({"step_scrap", "step_again", "step_tick"})
_STEP_COLUMNS = (
    "step_transfer", "step_lot", "step_people", "step_set_up", "step_set_up_people", "step_scrap", "step_again", "step_again_to",
    "step_again_time", "step_again_people", "step_luck", "step_where", "step_release", "step_per_card", "step_tick",
)  # fmt: skip


def steps(of: Source) -> dict[str, np.ndarray]:
    """The columns of all steps, who can do them, and the set-ups that take another time from product to product."""
    rows: dict[str, list[float]] = {name: [] for name in _STEP_COLUMNS}
    can = np.zeros((len(of.line.steps), max(1, len(of.line.people))), np.int64)
    pairs: list[tuple[int, int, int, int]] = []
    for i, step in enumerate(of.line.steps):
        row = _step(of, i, step)
        for name in _STEP_COLUMNS:
            rows[name].append(row[name])
        wanted = max(row["step_people"], row["step_set_up_people"], row["step_again_people"])
        for c, crew in enumerate(of.line.people):
            able = crew.skills is None or step.name in crew.skills or step.station in crew.skills
            can[i, c] = int(able)
        largest = max((crew.number for c, crew in enumerate(of.line.people) if can[i, c]), default=0)
        if of.line.people and wanted > largest:
            raise CannotRun(
                f"{step.name} needs {wanted:g} people at once, and no crew that can do it has so many; "
                "give a crew the skill, or more people"
            )
        if step.set_up is not None and step.smallest_lot is not None:
            for k, pair in enumerate(step.set_up.pairs):
                path: Path = ("steps", i, "set_up", "pairs", k, "time")
                stream = of.time(path, pair.time, "set-up cv", "set-up", step.name, pair.from_, pair.to)
                pairs.append((i, of.product_names.index(pair.from_), of.product_names.index(pair.to), stream))
    columns = {name: np.array(column, float if name in _FLOAT_COLUMNS else np.int64) for name, column in rows.items()}
    if not of.line.people:
        for name in ("step_people", "step_set_up_people", "step_again_people"):
            columns[name][:] = 0
    return {
        **columns,
        "crew_can": can,
        "pairs": np.array(pairs, np.int64).reshape(-1, 4),
        "step_capacity": capacities(of),
        "finished_capacity": np.array([finished_capacity(of)]),
    }


def _step(of: Source, i: int, step: Step) -> dict[str, float]:
    path: Path = ("steps", i)
    losses = losses_of(of.givens, i)
    scrap, again = (0.0 if one is None else of.taken(one) for one in (losses.scrap, losses.rework))
    row: dict[str, float] = {
        "step_transfer": max(
            step.transfer_lot or step.smallest_lot or 1,
            *(move.batch for move in of.line.moves if move.from_ == step.name), 1,
        ),
        "step_lot": step.smallest_lot or 0 if step.set_up is not None else 0,
        "step_people": step.people,
        "step_set_up": NEVER,
        "step_set_up_people": 0,
        "step_scrap": scrap,
        "step_again": again,
        "step_again_to": NEVER,
        "step_again_time": NEVER,
        "step_again_people": 0,
        "step_luck": NEVER,
        "step_where": of.luck("where", step.name) if step.also_at else NEVER,
        "step_release": FREE if step.release is None else _RELEASE[step.release.by],
        "step_per_card": 1,
        "step_tick": 0.0,
    }  # fmt: skip
    if step.set_up is not None and step.smallest_lot:
        row["step_set_up"] = of.time((*path, "set_up", "time"), step.set_up.time, "set-up cv", "set-up", step.name)
        row["step_set_up_people"] = step.set_up.people
    if scrap + again > 0:
        row["step_luck"] = of.luck("luck", step.name)
    if again > 0:
        row["step_again_people"] = step.people
    if step.rework is not None:
        if step.rework.to is not None:
            row["step_again_to"] = of.step_index[step.rework.to]
        row["step_again_people"] = step.rework.people if step.rework.time is not None else step.people
        if step.rework.time is not None:
            row["step_again_time"] = of.time(
                (*path, "rework", "time"), step.rework.time, "manual cv", "again", step.name
            )
    if step.release is not None:
        shared = shared_cards(of, i)
        row["step_per_card"] = 1 if shared is None else shared[1]
        if step.release.by == "push":
            row["step_tick"] = _tick(of, i, step)
    return row


def _tick(of: Source, i: int, step: Step) -> float:
    """Seconds between two pieces that the schedule starts: as many as are pulled where no rate is given."""
    assert step.release is not None
    day = of.taken(of.givens.day_seconds())
    if step.release.rate is not None:
        rate = of.taken(of.givens.per_day(("steps", i, "release", "rate")))
    else:
        rate = sum(of.per_day(p) for p in range(len(of.product_names)) if i in of.through[p])
    if rate <= 0:
        raise CannotRun(f"the schedule of {step.name} starts {rate:g} pieces a day; give it a rate above 0")
    return day / rate

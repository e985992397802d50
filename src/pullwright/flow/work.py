"""The work at a step: how long one piece keeps the station and the people, and what that time is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.assumed import AssumedKey
from pullwright.flow.givens import Givens, Path
from pullwright.line.kinds import BY_KEY, KindKey
from pullwright.line.model import Element, Step
from pullwright.line.quantity import Quantity

Named = tuple[KindKey, Figure]
_WAYS = ("manual", "machine", "walking")


@dataclass(frozen=True, slots=True)
class Work:
    """The work on one piece at one step, for the products that need the same elements there.

    `cycle` and `variance`: how long the piece keeps the station (s, s²); `kinds`: that time by what it is for (s);
    `people`: attended time by what it is for (person-s); `attended` their sum.
    """

    step: int
    products: tuple[str, ...]
    cycle: Figure
    variance: Figure
    kinds: dict[KindKey, Figure]
    people: dict[KindKey, Figure]
    attended: Figure


def works_of(givens: Givens, i: int) -> tuple[Work, ...]:
    """What is done at step `i`, for each group of products with the same elements?

    The elements of a piece come one after another; walking keeps the station too. A person is needed for manual work, for walking, and for
    the watched share of machine time, which is waiting whatever the machine does meanwhile.
    """
    step = givens.line.steps[i]
    groups: dict[tuple[int, ...], list[str]] = {}
    for product in givens.line.route.products_of(i):
        chosen = tuple(k for k, element in enumerate(step.elements) if element.for_ is None or product in element.for_)
        groups.setdefault(chosen, []).append(product)
    return tuple(
        _work(givens, i, step, chosen, tuple(products), len(groups) > 1) for chosen, products in groups.items()
    )


def _work(
    givens: Givens, i: int, step: Step, chosen: tuple[int, ...], products: tuple[str, ...], several: bool
) -> Work:
    tail = f" / {' and '.join(products)}" if several else ""
    times: list[Figure] = []
    variances: list[tuple[Figure, Figure]] = []
    kinds: dict[KindKey, list[Figure]] = {}
    people: dict[KindKey, list[Figure]] = {}
    crew = givens.number(("steps", i, "people"), step.people, "persons")
    parts: Sequence[tuple[Path, Step | Element]] = [
        (("steps", i, "elements", k), step.elements[k]) for k in chosen
    ] or [(("steps", i), step)]
    for path, part in parts:
        for way in _WAYS:
            quantity: Quantity | None = getattr(part, way)
            if quantity is None:
                continue
            time = givens.figure((*path, way), quantity)
            times.append(time)
            variances.append((time, givens.cv((*path, way), quantity, _CV[way])))
            for kind, seconds in _by_kind(givens, i, step, part, way, time):
                kinds.setdefault(kind, []).append(seconds)
                if step.people and way != "machine":
                    people.setdefault(kind, []).append(seconds)
            if step.people and way == "machine" and (watched := watching(givens, i, path, part, tail)) is not None:
                people.setdefault("waiting", []).append(watched)
    _beyond_need(givens, i, step, tail, kinds, people)
    by_kind = {kind: _sum(f"{_KIND_OF} / {step.name} / {kind}{tail}", figures) for kind, figures in kinds.items()}
    attended = {
        kind: derive(
            f"attended / {step.name} / {kind}{tail}",
            _people_sum,
            crew,
            *figures,
            unit="person-s",
            formula="people x (manual, walking and watched time)",
        )
        for kind, figures in people.items()
    }
    total = derive(
        f"attended in all / {step.name}{tail}",
        lambda n, *parts: n * 0 + sum(parts),
        crew,
        *attended.values(),
        unit="person-s",
        formula="sum over what it is for",
    )
    cycle = _sum(f"cycle time / {step.name}{tail}", times)
    spread = derive(
        f"variance of the cycle time / {step.name}{tail}",
        _variance,
        *(figure for pair in variances for figure in pair),
        unit="s2",
        formula="sum over the elements of (time x cv)²",
    )
    return Work(i, products, cycle, spread, by_kind, attended, total)


_KIND_OF = "time by purpose"
_CV: dict[str, AssumedKey] = {"manual": "manual cv", "machine": "machine cv", "walking": "walking cv"}


def _by_kind(givens: Givens, i: int, step: Step, part: Step | Element, way: str, time: Figure) -> list[Named]:
    if isinstance(part, Element):
        return [(part.kind, time)]
    if way == "walking":
        return [("motion", time)]
    share = givens.assumed("value-adding") if step.value_adding is None else givens.figure(("steps", i, "value_adding"))
    value = derive(
        f"value-adding / {step.name} / {way}",
        lambda t, v: t * v,
        time,
        share,
        unit="s",
        formula="time x value-adding share",
    )
    rest = derive(
        f"rest / {step.name} / {way}",
        lambda t, v: t * (1 - v),
        time,
        share,
        unit="s",
        formula="time x (1 - value-adding share)",
    )
    return [(step.rest, rest)] if step.value_adding is None else [("value", value), (step.rest, rest)]


def binds_a_person(givens: Givens, i: int, k: int | None) -> dict[str, Figure]:
    """How long does element `k` of step `i` bind a person on one piece (s): by hand, on foot, watching the machine?

    `k` is None for a step that gives its work in short. What is not there is left out; each attending person is bound so long.
    """
    step = givens.line.steps[i]
    path: Path = ("steps", i) if k is None else ("steps", i, "elements", k)
    part: Step | Element = step if k is None else step.elements[k]
    found = {way: givens.figure((*path, way)) for way in ("manual", "walking") if getattr(part, way) is not None}
    watched = None if part.machine is None else watching(givens, i, path, part)
    return found if watched is None else {**found, "machine": watched}


def watching(givens: Givens, i: int, path: Path, part: Step | Element, tail: str = "") -> Figure | None:
    """How long does somebody stand at the machine while it works (s)? None where nobody does."""
    share = _watched(givens, i, path, part)
    if share is None:
        return None
    return givens.once((path, "watching", tail), lambda: derive(
        f"watching / {givens.name(path)}{tail}", lambda t, w: t * w, givens.figure((*path, "machine")), share, unit="s",
        formula="machine time x watched share",
    ))  # fmt: skip


def _watched(givens: Givens, i: int, path: Path, part: Step | Element) -> Figure | None:
    if part.watched is not None:
        return givens.figure((*path, "watched"))
    return None if givens.line.steps[i].watched is None else givens.figure(("steps", i, "watched"))


def _beyond_need(
    givens: Givens,
    i: int,
    step: Step,
    tail: str,
    kinds: dict[KindKey, list[Figure]],
    people: dict[KindKey, list[Figure]],
) -> None:
    """Time that a tighter tolerance or finish costs is not value, however careful the work: it moves to "doing more than is needed".

    It is taken from the value-adding time; where nobody has said yet what of the work adds value, from the work as it stands.
    """
    costs = [
        givens.figure(("steps", i, "asked", k, "costs"))
        for k, asked in enumerate(step.asked)
        if asked.costs is not None
    ]
    kind: KindKey = step.rest if step.value_adding is None and not step.elements else "value"
    if not costs or kind not in kinds:
        return
    for where, table in (("station", kinds), ("people", people)):
        before = table.get(kind, [])
        if not before or (where == "people" and not _by_hand(step)):
            continue
        value = _sum(f"{where} / {step.name} / {BY_KEY[kind].words} before the check of what is needed{tail}", before)
        extra = derive(
            f"{where} / {step.name} / time for more than is needed{tail}",
            lambda v, *c: np.minimum(v, sum(c)),
            value,
            *costs,
            unit="s",
            formula=f"what the tighter tolerance or finish costs, at most the time that is {BY_KEY[kind].words}",
        )
        rest = derive(
            f"{where} / {step.name} / {BY_KEY[kind].words}{tail}",
            lambda v, e: v - e,
            value,
            extra,
            unit="s",
            formula=f"time that is {BY_KEY[kind].words} - time for more than is needed",
        )
        table[kind] = [rest]
        table.setdefault("extra", []).append(extra)


def _by_hand(step: Step) -> bool:
    """Is the value-adding work of this step done by hand only, so that the time is a person's too?"""
    parts: tuple[Step | Element, ...] = step.elements or (step,)
    adding = [part for part in parts if isinstance(part, Step) or part.kind == "value"]
    return all(part.machine is None for part in adding)


def _sum(name: str, figures: Sequence[Figure]) -> Figure:
    if len(figures) == 1:
        return derive(name, lambda t: t * 1.0, figures[0], unit="s", formula="as given")
    return derive(name, lambda *t: sum(t), *figures, unit="s", formula="sum of its elements")


def _people_sum(crew: Any, *times: Any) -> Any:
    return crew * sum(times)


def _variance(*pairs: Any) -> Any:
    return sum((pairs[k] * pairs[k + 1]) ** 2 for k in range(0, len(pairs), 2))

"""What a cycle's time is spent on: value-adding, needed, or which waste, in basic time a cycle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.figure import Figure, derive
from pullwright.line.kinds import BY_KEY, ELEMENT_KINDS, ElementKind
from pullwright.watch.study.sheet import TimedElement


@dataclass(frozen=True, slots=True)
class KindOfTime:
    """One kind of time in a cycle: `amount` in s a cycle, `share` of the cycle, and the elements that it is made of."""

    kind: ElementKind
    words: str
    waste: bool
    amount: Figure
    share: Figure
    elements: tuple[str, ...]


def time_by_kind(
    study: str, elements: Sequence[TimedElement], per_cycle: Sequence[Figure | None], cycle: Figure
) -> tuple[KindOfTime, ...]:
    """How much of a cycle's basic time adds value, is needed, or is which waste?

    Parameters: `study`, its name, with which the figures' names begin; the `elements`; `per_cycle`, basic time of each in s a cycle,
    None where it has no reading; `cycle`, all of it. Result: one row for each kind that there is, in the order of the accounts; the
    amounts add up to the cycle.

    >>> from pullwright.figure import Source, given
    >>> source = Source("study", "study T-1")
    >>> load, hone = given("load", 20.0, "s", source), given("hone", 60.0, "s", source)
    >>> elements = (TimedElement("load"), TimedElement("hone", "machine", "value"))
    >>> rows = time_by_kind("T-1", elements, (load, hone), given("cycle", 80.0, "s", source))
    >>> [(row.words, row.amount.text(), row.share.text()) for row in rows]
    [('value-adding', '60 s', '75 %'), ('needed, not value-adding', '20 s', '25 %')]
    """
    found = []
    for kind in ELEMENT_KINDS:
        of_it = [
            (element, time) for element, time in zip(elements, per_cycle, strict=True) if element.kind == kind and time
        ]
        if not of_it:
            continue
        names = tuple(element.what for element, _ in of_it)
        amount = derive(
            f"{study}: {BY_KEY[kind].words}",
            lambda *times: sum(times),
            *(time for _, time in of_it if time),
            unit="s",
            formula=" + ".join(names),
        )
        share = derive(
            f"{study}: share of {BY_KEY[kind].words}",
            lambda amount, whole: amount / whole,
            amount,
            cycle,
            unit="share",
            formula=f"{BY_KEY[kind].words} / basic time of a cycle",
        )
        found.append(KindOfTime(kind, BY_KEY[kind].words, BY_KEY[kind].waste, amount, share, names))
    return tuple(found)

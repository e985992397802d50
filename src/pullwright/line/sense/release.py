"""Contradictions in what lets a step begin: cards without a number, a cap without an end, a rate without a schedule."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.faults import Path, listed
from pullwright.line.model import LineModel, Release, Step
from pullwright.line.route import RouteError, route_of
from pullwright.line.sense.each_product import each_product
from pullwright.line.sense.slip import Slip

LOOPS = ("loops",)
"""What cards of each product by itself need in place of one number for all."""

NEEDS: dict[str, tuple[str, ...]] = {"cards": ("cards", "per_card"), "cap": ("limit", "until"), "push": (), "order": ()}
"""What each way of releasing cannot do without."""

MAY: dict[str, tuple[str, ...]] = {"push": ("rate",)}
"""What may stand beside it."""


def release(line: LineModel) -> Iterator[Slip]:
    """Does every release say what it needs, and nothing else?"""
    for i, step in enumerate(line.steps):
        if step.release is None:
            continue
        by = step.release.by
        needs = LOOPS if by == "cards" and step.release.loops else NEEDS[by]
        for name in needs:
            if getattr(step.release, name) is None:
                yield Slip(("steps", i, "release"), "nothing", name, f"release by {by} needs `{name}`")
        fits = (*needs, *MAY.get(by, ()))
        for name in Release.model_fields:
            if name not in ("by", *fits) and getattr(step.release, name) not in (None, ()):
                allowed = listed(fits) or "nothing more"
                beside = "loops of cards for each product" if needs == LOOPS else f"release by {by}"
                yield Slip(("steps", i, "release", name), name, allowed, f"`{name}` does not go with {beside}")
        if needs == LOOPS:
            yield from _loops(line, i, step)
        if by == "cap" and step.release.until is not None:
            yield from _until(line, i, step.release.until)


def _loops(line: LineModel, i: int, step: Step) -> Iterator[Slip]:
    assert step.release is not None
    path: Path = ("steps", i, "release", "loops")
    yield from each_product(line, i, path, [loop.product for loop in step.release.loops], "loop of cards")
    for k, loop in enumerate(step.release.loops):
        if loop.signal > loop.cards:
            said = f"{loop.product} has {loop.cards} cards, and {loop.signal} are to be gathered before it is made: it never would be"
            yield Slip((*path, k, "signal"), str(loop.signal), f"at most the {loop.cards} cards of the loop", said)


def _until(line: LineModel, i: int, until: str) -> Iterator[Slip]:
    end = next(k for k, step in enumerate(line.steps) if step.name == until)
    try:
        after = route_of(line).comes_before(i, end)
    except RouteError:
        return  # said already
    if not after:
        said = f"{until} does not come after {line.steps[i].name}; a cap counts from a step to a later one"
        yield Slip(("steps", i, "release", "until"), until, "this step or one after it", said)

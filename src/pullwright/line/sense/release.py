"""Contradictions in what lets a step begin: cards without a number, a cap without an end, a rate without a schedule."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.faults import listed
from pullwright.line.model import LineModel, Release
from pullwright.line.route import RouteError, route_of
from pullwright.line.sense.slip import Slip

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
        for name in NEEDS[by]:
            if getattr(step.release, name) is None:
                yield Slip(("steps", i, "release"), "nothing", name, f"release by {by} needs `{name}`")
        fits = (*NEEDS[by], *MAY.get(by, ()))
        for name in Release.model_fields:
            if name not in ("by", *fits) and getattr(step.release, name) is not None:
                allowed = listed(fits) or "nothing more"
                yield Slip(("steps", i, "release", name), name, allowed, f"`{name}` does not go with release by {by}")
        if by == "cap" and step.release.until is not None:
            yield from _until(line, i, step.release.until)


def _until(line: LineModel, i: int, until: str) -> Iterator[Slip]:
    end = next(k for k, step in enumerate(line.steps) if step.name == until)
    try:
        after = route_of(line).comes_before(i, end)
    except RouteError:
        return  # said already
    if not after:
        said = f"{until} does not come after {line.steps[i].name}; a cap counts from a step to a later one"
        yield Slip(("steps", i, "release", "until"), until, "this step or one after it", said)

"""Contradictions in people, samples and pressure, and quantities that cannot be 0."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.faults import Path
from pullwright.line.kinds import KINDS
from pullwright.line.model import LineModel, Step
from pullwright.line.quantity import Quantity
from pullwright.line.sense.slip import Slip


def skills(line: LineModel) -> Iterator[Slip]:
    """Can somebody do every step that needs a person?"""
    if not line.people or any(crew.skills is None for crew in line.people):
        return
    known = {skill for crew in line.people for skill in crew.skills or ()}
    for i, step in enumerate(line.steps):
        if _attended(step) and step.name not in known and step.station not in known:
            hint = f"add {step.name} to the skills of a crew"
            yield Slip(
                ("steps", i, "name"),
                step.name,
                "a step that somebody can do",
                f"nobody has the skill for {step.name}",
                hint,
            )


def _attended(step: Step) -> bool:
    parts = step.elements or (step,)
    by_hand = any(part.manual is not None or part.walking is not None for part in parts)
    return step.people > 0 and (by_hand or step.watched is not None or any(part.watched is not None for part in parts))


def samples(line: LineModel) -> Iterator[Slip]:
    """Were no more things seen than looks taken?"""
    for i, sample in enumerate(line.samples):
        seen = sum(getattr(sample, kind.key, 0) for kind in KINDS)
        if seen > sample.looks:
            said = f"{seen:,} things were seen in {sample.looks:,} looks"
            yield Slip(("samples", i, "looks"), str(sample.looks), f"at least {seen}", said)


def pressure(line: LineModel) -> Iterator[Slip]:
    """Does the work still take time under pressure?"""
    if line.pressure is not None and max(line.pressure.faster.value, line.pressure.faster.high or 0.0) >= 1:
        said = "work that is faster by all of its time takes none"
        yield Slip(("pressure", "faster"), "100 %", "a share below 100 %", said)


def zeros(line: LineModel) -> Iterator[Slip]:
    """Is nothing 0 that must be something?"""
    for path, quantity, what in _positive(line):
        if quantity is not None and min(quantity.value, quantity.value if quantity.low is None else quantity.low) <= 0:
            said = f"{what} of 0 makes no sense here"
            yield Slip(path, "0", f"{what} above 0", said, "leave it out where there is none")


def _positive(line: LineModel) -> Iterator[tuple[Path, Quantity | None, str]]:
    for i, product in enumerate(line.products):
        for k, use in enumerate(product.uses):
            yield ("products", i, "uses", k, "quantity"), use.quantity, "a quantity"
    for i, part in enumerate(line.parts):
        yield ("parts", i, "delivery_lot"), part.delivery_lot, "a delivery lot"
    for i, station in enumerate(line.stations):
        if station.breakdowns:
            yield ("stations", i, "breakdowns", "between"), station.breakdowns.between, "a time between breakdowns"
    for i, move in enumerate(line.moves):
        yield ("moves", i, "speed"), move.speed, "a speed"
    for i, step in enumerate(line.steps):
        for k, after in enumerate(step.after or ()):
            yield ("steps", i, "after", k, "quantity"), after.quantity, "a quantity"
        for k, other in enumerate(step.also_at):
            yield ("steps", i, "also_at", k, "times"), other.times, "a factor"
        for k, asked in enumerate(step.asked):
            yield ("steps", i, "asked", k, "asked"), asked.asked, "a tolerance"
    if line.floor:
        yield ("floor", "total"), line.floor.total, "a floor"

"""Contradictions in the work of a step: given twice or not at all, no time for a product, lots and set-ups that do not fit."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.model import Element, LineModel, Step
from pullwright.line.quantity import Quantity
from pullwright.line.sense.each_product import each_product
from pullwright.line.sense.slip import Slip

WAYS = ("manual", "machine", "walking")


def work(line: LineModel) -> Iterator[Slip]:
    """Is the work of every step given, once, with a time for every product?"""
    studied = {
        study.name: sum(reading.value.value for reading in study.readings) / len(study.readings)
        for study in line.studies
    }
    for i, step in enumerate(line.steps):
        yield from _given_once(i, step)
        yield from _watched(i, step)
        yield from _elements(line, i, step)
        yield from _asked(i, step)
        yield from _for_each_product(line, i, step, studied)


def _given_once(i: int, step: Step) -> Iterator[Slip]:
    short = [name for name in WAYS if getattr(step, name) is not None]
    if step.elements and short:
        said = f"the work of {step.name} is given twice, as elements and as {' and '.join(short)}"
        yield Slip(("steps", i, short[0]), short[0], "elements, or manual, machine and walking", said)
    if not step.elements and not short:
        said = f"{step.name} has no work: give elements, or at least one of manual, machine, walking"
        yield Slip(("steps", i), step.name, "elements, or manual, machine, walking", said)
    for name in ("value_adding", "rest"):
        if name in step.model_fields_set and step.elements:
            said = f"{name} goes with manual and machine; an element says its own kind"
            yield Slip(("steps", i, name), name, "the kind of each element", said)


def _watched(i: int, step: Step) -> Iterator[Slip]:
    parts: tuple[Step | Element, ...] = step.elements or (step,)
    if (
        step.watched is not None
        and (step.elements or step.manual or step.walking)
        and not any(part.machine for part in parts)
    ):
        said = f"{step.name} has no machine time that could be watched"
        yield Slip(("steps", i, "watched"), "watched", "watched with machine time only", said)
    for k, element in enumerate(step.elements):
        if element.watched is not None and element.machine is None:
            said = f"{element.what!r} has no machine time that could be watched"
            yield Slip(("steps", i, "elements", k, "watched"), "watched", "watched with machine time only", said)


def _elements(line: LineModel, i: int, step: Step) -> Iterator[Slip]:
    for k, element in enumerate(step.elements):
        path = ("steps", i, "elements", k)
        if not any(getattr(element, name) is not None for name in WAYS):
            said = f"{element.what!r} has no time: give manual, machine or walking"
            yield Slip(path, element.what, "manual, machine or walking", said)
        for n, product in enumerate(element.for_ or ()):
            if step.for_ is not None and product not in step.for_:
                said = f"{product} does not go through {step.name}"
                yield Slip((*path, "for", n), product, "a product that goes through this step", said)


def _asked(i: int, step: Step) -> Iterator[Slip]:
    for k, asked in enumerate(step.asked):
        if asked.costs is not None and asked.costs.value > 0 and asked.asked.value >= asked.needed.value:
            said = f"{asked.what}: no more is asked for than is needed, so that there is no time to save"
            yield Slip(
                ("steps", i, "asked", k, "costs"),
                "costs",
                "asked below needed, or no costs",
                said,
                "are the two swapped?",
            )


def _for_each_product(line: LineModel, i: int, step: Step, studied: dict[str, float]) -> Iterator[Slip]:
    parts: tuple[Step | Element, ...] = step.elements or (step,)
    timed = [(part, sum(_seconds(getattr(part, name), studied) for name in WAYS)) for part in parts]
    if not any(getattr(part, name) is not None for part in parts for name in WAYS):
        return  # said already
    if any(seconds > 0 and (isinstance(part, Step) or part.for_ is None) for part, seconds in timed):
        return
    for product in line.products:
        goes = step.for_ is None or product.name in step.for_
        chosen = [
            seconds
            for part, seconds in timed
            if isinstance(part, Step) or product.name in (part.for_ or (product.name,))
        ]
        if goes and not sum(chosen) > 0:
            said = f"{step.name} takes no time for {product.name}"
            hint = f"leave {product.name} out with `for` where it skips this step"
            yield Slip(("steps", i), "0 s", "a time above 0", said, hint)
            return


def _seconds(time: Quantity | None, studied: dict[str, float]) -> float:
    if time is None:
        return 0.0
    return time.value if time.study is None else studied.get(time.study, 0.0)


def lots(line: LineModel) -> Iterator[Slip]:
    """Do lots, set-ups and the shares of other stations fit together?"""
    for i, step in enumerate(line.steps):
        if step.lots:
            yield from _by_product(line, i, step)
        elif step.set_up is not None and step.lot is None:
            said = f"{step.name} is set up, but how many pieces are made between two set-ups? Give `lot`"
            yield Slip(("steps", i, "set_up"), "no lot", "lot", said)
        lot = step.smallest_lot
        if lot is not None and step.transfer_lot is not None and step.transfer_lot > lot:
            which = "the smallest lot, that" if len(step.lots) > 1 else "the lot"
            said = f"a transfer lot of {step.transfer_lot} is larger than {which} of {lot}"
            yield Slip(("steps", i, "transfer_lot"), str(step.transfer_lot), f"at most {which} of {lot}", said)
        for k, pair in enumerate(step.set_up.pairs if step.set_up else ()):
            path = ("steps", i, "set_up", "pairs", k)
            if pair.from_ == pair.to:
                said = f"a set-up from {pair.from_} to itself"
                yield Slip((*path, "to"), pair.to, "two different products", f"this is {said}")
            for field, name in (("from", pair.from_), ("to", pair.to)):
                if step.for_ is not None and name not in step.for_:
                    said = f"{name} does not go through {step.name}"
                    yield Slip((*path, field), name, "a product that goes through this step", said)
        for k, other in enumerate(step.also_at):
            if other.station == step.station:
                said = f"{step.name} is done at {step.station} anyway; `also_at` names other stations"
                yield Slip(("steps", i, "also_at", k, "station"), other.station, "another station", said)
        if sum(other.share.value for other in step.also_at) > 1 + 1e-9:
            said = f"the shares of {step.name} that are done elsewhere add up to more than all of it"
            yield Slip(("steps", i, "also_at"), "more than 100 %", "shares of at most 100 % together", said)


def _by_product(line: LineModel, i: int, step: Step) -> Iterator[Slip]:
    """Lots of each product stand alone, at a step that is set up, one for each product."""
    if step.lot is not None:
        said = f"{step.name} has one lot for all products and a lot for each; say one of them"
        yield Slip(("steps", i, "lots"), "lot and lots", "one of: lot, lots", said)
    if step.set_up is None:
        said = f"{step.name} has a lot for each product, but what comes between two of them? Give `set_up`"
        hint = "what is handed on at a time is `transfer_lot`"
        yield Slip(("steps", i, "lots"), "no set_up", "set_up", said, hint)
    yield from each_product(line, i, ("steps", i, "lots"), [lot.product for lot in step.lots], "lot")

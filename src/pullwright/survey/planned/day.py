"""The chapter of today: in which order the pieces are made, slot by slot, and how even that is."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from pullwright.line.worktime import clock
from pullwright.pull.plan import PullPlan
from pullwright.pull.sequence.day import Day
from pullwright.pull.sequence.day_box import Slot
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable


def told_day(plan: PullPlan) -> Chapter:
    """What is asked for today, in which order and when?"""
    day = plan.day
    return Chapter(
        key="today",
        title="Today's sequence",
        sentence=_sentence(day),
        look=bool(day.left_over),
        tables=tuple(_tables(day)),
        reasons=day.said,
        changes=day.changes,
    )


def _sentence(day: Day) -> str:
    if not day.sequence:
        return day.said[0] if day.said else f"Nothing is asked for on {day.words}."
    left = sum(day.left_over.values())
    slots = f"{len(day.slots)} slot{'' if len(day.slots) == 1 else 's'}"
    said = f"{len(day.sequence)} pieces come in {slots}, mixed as evenly as {day.set_ups.short()} let them."
    if day.set_up_time.value > day.set_up_time_in_lots.value + 60:
        said += (
            f" Setting up for that takes {day.set_up_time.short()}, in lots as today {day.set_up_time_in_lots.short()}: "
            "the posts count what today's lots take, so wish for fewer set-ups where nobody has the time."
        )
    return f"{said} {left} of what is asked for do not fit into the day." if left else said


def _tables(day: Day) -> Iterator[PlanTable]:
    if not day.sequence:
        return
    yield PlanTable(
        f"The box of {day.words}", ("from", "to", "asked for, in this order"),
        tuple(
            PlanRow(f"slot {k + 1}", (clock(round(slot.start)), clock(round(slot.end)), runs(slot.pieces) + _room(slot)))
            for k, slot in enumerate(day.slots)
        ),
        (f"A slot asks for {day.pitch_pieces.short()}" + (f", one every {day.pitch.short()}." if day.pitch is not None else "."),),
    )  # fmt: skip
    yield PlanTable(
        "How even it is: pieces away from an even course", ("on average", "at most", "best: on average", "best: at most", "in lots: on average", "in lots: at most"),
        tuple(
            PlanRow(
                f"{row.kind} {row.name}",
                (row.mean, row.largest, row.mean_at_best, row.largest_at_best, row.mean_in_lots, row.largest_in_lots),
            )
            for row in day.uneven
        ),
        behind=True,
    )  # fmt: skip
    yield PlanTable(
        "Set-ups", ("in this sequence", "in lots as today"),
        (PlanRow(f"set-ups at {day.pacer}" if day.pacer else "set-ups", (day.set_ups, day.set_ups_in_lots)), PlanRow("time for them", (day.set_up_time, day.set_up_time_in_lots))),
    )  # fmt: skip
    if len(day.trade_off) > 1:
        yield PlanTable(
            "Fewer set-ups against evenness", ("squared pieces away from an even course", "no sequence with so many is below"),
            tuple(PlanRow(f"{point.set_ups} set-ups", (f"{point.squares:,.4g}", f"{point.at_least:,.4g}")) for point in day.trade_off), behind=True,
        )  # fmt: skip
    if day.left_over:
        yield PlanTable(
            "What does not fit into the day", ("pieces",), tuple(PlanRow(product, (str(pieces),), "left over") for product, pieces in day.left_over.items() if pieces)
        )  # fmt: skip


def _room(slot: Slot) -> str:
    """What is said of a slot that is not full."""
    return f" ({len(slot.pieces)} of {slot.room})" if len(slot.pieces) < slot.room else ""


def runs(pieces: tuple[str, ...]) -> str:
    """A sequence as people read it: what follows upon itself is counted.

    >>> runs(("P-32", "P-32", "P-40"))
    '2 P-32, P-40'
    """
    counted = [(product, sum(1 for _ in same)) for product, same in groupby(pieces)]
    return ", ".join(product if many == 1 else f"{many} {product}" for product, many in counted)

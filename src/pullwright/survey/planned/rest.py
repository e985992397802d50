"""The rest of today as it is told: what changes, which slot carries what, whether it fits until the end of work, and how even it is now."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from pullwright.figure import Figure, derive
from pullwright.pull.sequence.day_box import Slot, shown
from pullwright.pull.sequence.rest import Rest
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable, every_figure
from pullwright.survey.planned.day import runs
from pullwright.survey.survey import UnknownFigureError


@dataclass(frozen=True)
class ToldRest:
    """The rest of a day, told."""

    rest: Rest

    @cached_property
    def chapter(self) -> Chapter:
        """Its sentence, its tables, and why it is so."""
        rest = self.rest
        return Chapter(
            key="rest",
            title="The rest of today",
            sentence=" ".join(_sentences(rest)),
            look=not rest.fits,
            tables=tuple(_tables(rest)),
            reasons=tuple(_reasons(rest)),
        )

    @cached_property
    def figures(self) -> dict[str, Figure]:
        """Every figure of it by name, those too that others are made from."""
        return every_figure([self.chapter])

    def figure(self, name: str) -> Figure:
        """Find a figure of it; UnknownFigureError names the nearest one."""
        if name not in self.figures:
            raise UnknownFigureError(name, list(self.figures))
        return self.figures[name]


@dataclass(frozen=True, slots=True)
class SlotToCome:
    """A slot of the box from now on: what is still to be made in it, how many of those are started, and what the plan before had at these places."""

    slot: Slot
    pieces: tuple[str, ...]
    started: int
    before: tuple[str, ...]
    number: int

    @property
    def same(self) -> bool:
        """Does it ask for what it asked for before?"""
        return self.pieces == self.before

    @property
    def words(self) -> str:
        """Its pieces as people read them, those that are started first."""
        if not self.started:
            return runs(self.pieces)
        begun, rest = runs(self.pieces[: self.started]), runs(self.pieces[self.started :])
        return f"{begun} (started)" + (f", then {rest}" if rest else "")


def slots_to_come(rest: Rest) -> tuple[SlotToCome, ...]:
    """Which slots of the box are not made yet, and what is in them?"""
    found, at, came = [], 0, rest.came
    for number, slot in enumerate(rest.day.slots, 1):
        pieces = slot.pieces[slot.done :]
        if not pieces:
            continue
        last = number == len(rest.day.slots)
        before = came[at:] if last else came[at : at + len(pieces)]
        found.append(SlotToCome(slot, pieces, min(max(rest.begun.started - at, 0), len(pieces)), before, number))
        at += len(pieces)
    return tuple(found)


# --- sentences --------------------------------------------------------------------------------------------------------


def _sentences(rest: Rest) -> Iterator[str]:
    day, until = rest.day, shown(rest.ends)
    if not rest.coming:
        yield "Nothing is left to be made today." if rest.fits else f"Nothing more fits until {until}."
    elif rest.stays and rest.fits:
        yield f"The rest stays as it was planned: {_pieces(len(rest.coming))} more until {until}."
    if not rest.fits:
        yield from _late(rest)
    elif rest.coming and not rest.stays:
        takt = f", one every {day.takt.short()}" if day.takt is not None else ""
        longer = rest.ends - rest.ends_usually
        if abs(longer) > 30:
            until += f", {_minutes(abs(longer))} {'later' if longer > 0 else 'earlier'} than every day"
        yield f"All that is asked for now fits until {until}: {_pieces(len(rest.coming))} are still to come{takt}."


def _late(rest: Rest) -> Iterator[str]:
    until, waits = shown(rest.ends), rest.day.left_over
    more = rest.overtime.short()
    if waits:
        yield f"Not all of it fits until {until}: {_counted(waits)} {'waits' if sum(waits.values()) == 1 else 'wait'} for another day."
    else:
        yield f"It does not quite fit until {until}: the set-ups that it needs at the least take {more} too long."
    if rest.all_until is not None:
        yield f"For all of it work would have to go on until {rest.all_until:%H:%M}, {more} longer, because of {rest.fullest}."
    else:
        yield f"For all of it {more} are missing at {rest.fullest}: more than there is before the next day begins."


def _reasons(rest: Rest) -> Iterator[str]:
    begun, day = rest.begun, rest.day
    if rest.due is not None and (behind := round(rest.due.value) - len(begun.done)):
        how = f"{_pieces(behind)} behind" if behind > 0 else f"{_pieces(-behind)} ahead"
        yield f"At {begun.now:%H:%M} {round(rest.due.value)} pieces should be done as it was planned, and {len(begun.done)} are: {how}."
    if rest.fullest:
        left, needs = rest.time_left.short(), rest.needed.short()
        what = "All that is left" if day.left_over else "The rest"
        yield f"{what} needs {needs} at {rest.fullest}, which has most to do; {left} of working time {'is' if left.endswith(' s') else 'are'} left until {shown(rest.ends)}."
    if begun.on and rest.planning.pacer is not None and rest.coming:
        yield f"{day.pacer} is set up for {begun.on} now; the sequence begins from there."
    yield from day.said


# --- tables -----------------------------------------------------------------------------------------------------------


def _tables(rest: Rest) -> Iterator[PlanTable]:
    slots = slots_to_come(rest)
    if slots:
        yield _box(rest, slots)
    yield _products(rest)
    yield _time(rest)
    if rest.day.uneven:
        yield from _even(rest)


def _box(rest: Rest, slots: tuple[SlotToCome, ...]) -> PlanTable:
    since = f" from {rest.begun.now:%H:%M} on" if rest.begun.now else " from now on"
    rows = []
    for one in slots:
        end = one.slot.end
        look = (
            f"until {shown(end)}, after work"
            if end > rest.ends + 30
            else "overtime"
            if end > rest.ends_usually + 30
            else ""
        )
        made = f" ({one.slot.done} done)" if one.slot.done else ""
        before = "the same" if one.same else runs(one.before) or "nothing"
        rows.append(PlanRow(f"slot {one.number}{made}", (shown(one.slot.start), shown(end), one.words, before), look))
    pitch = rest.day.pitch
    every = f", one every {pitch.short()}." if pitch is not None else "."
    return PlanTable(
        f"The box{since}",
        ("from", "to", "asked for, in this order", "at these places before"),
        tuple(rows),
        (f"A slot asks for {_pieces(round(rest.day.pitch_pieces.value))}{every} What is finished is left out.",),
    )


def _products(rest: Rest) -> PlanTable:
    day, begun = rest.day, rest.begun
    lost, waits = bool(begun.lost), bool(day.left_over)
    columns = (
        "asked for before",
        "asked for now",
        "done",
        *(("lost",) if lost else ()),
        "started",
        "still to come",
        *(("does not fit",) if waits else ()),
    )
    rows = []
    for name, asked in day.asked.items():
        cells = [
            rest.before.asked[name],
            asked,
            rest.done(name),
            *((rest.lost(name),) if lost else ()),
            rest.started(name),
            rest.to_come(name),
        ]
        if waits:
            cells.append(rest.waits(name))
        rows.append(PlanRow(name, tuple(cells), "does not fit" if day.left_over.get(name) else ""))
    note = ("Lost pieces are not counted as done: they are made again.",) if lost else ()
    return PlanTable("Pieces of the day", columns, tuple(rows), note)


def _time(rest: Rest) -> PlanTable:
    before, day = rest.before, rest.day
    set_ups, set_up_time = rest.set_ups()
    set_ups_before, time_before = rest.set_ups_before()
    done = derive(
        f"pieces done{rest.words}", lambda *n: sum(n), *(rest.done(name) for name in day.asked), unit="pieces", formula="sum over the products"
    )  # fmt: skip
    needs = f"what is left needs, at {rest.fullest}" if rest.fullest else "what is left needs"
    rows = [
        PlanRow("pieces done by now", (rest.due, done)),
        PlanRow("a piece every", (before.takt, day.takt if rest.coming else None)),
        PlanRow("working time left", (None, rest.time_left)),
        PlanRow(needs, (None, rest.needed)),
        PlanRow("overtime for all of it", (None, rest.overtime), "" if rest.fits else "too long"),
        PlanRow(
            f"set-ups from now on, at {day.pacer}" if day.pacer else "changes of product from now on",
            (set_ups_before, set_ups),
        ),
        PlanRow("time for them", (time_before, set_up_time)),
    ]
    return PlanTable("Time", ("as planned before", "now"), tuple(row for row in rows if any(row.cells)))


def _even(rest: Rest) -> Iterator[PlanTable]:
    yield PlanTable(
        "How even the rest is: squared pieces away from its even course", ("this order", "no order is below"),
        (PlanRow("over all its places", (rest.squares, rest.at_least)),),
        ("The even course of the rest leads from where every product stands now to what is asked for. Where both are the same, no order with as many set-ups is more even.",),
    )  # fmt: skip
    before = {(row.kind, row.name): row for row in rest.before.uneven}
    kind = "part" if rest.day.by == "parts" else "product"
    for behind in (False, True):
        rows = []
        for row in rest.day.uneven:
            was = before.get((row.kind, row.name))
            if (row.kind != kind) is behind:
                cells = (was.largest if was else None, row.largest, was.mean if was else None, row.mean)
                rows.append(PlanRow(f"{row.kind} {row.name}", cells))
        if rows:
            what = {"part": "parts are used", "product": "products come"}[
                "part" if (kind == "product") is behind else "product"
            ]
            yield PlanTable(
                f"How evenly {what} over the whole day: pieces away from an even course",
                ("at most, before", "at most, now", "on average, before", "on average, now"), tuple(rows), behind=behind,
            )  # fmt: skip


def _minutes(seconds: float) -> str:
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours} h" + (f" {minutes} min" if minutes else "") if hours else f"{minutes} min"


def _pieces(n: int) -> str:
    return "1 piece" if n == 1 else f"{n} pieces"


def _counted(counts: dict[str, int]) -> str:
    told = [f"{n} {name}" for name, n in counts.items()]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"

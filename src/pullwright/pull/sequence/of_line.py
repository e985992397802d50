"""The levelled sequence of a line's day: orders in, box out, with what it costs in set-ups and what it gains in evenness."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.again import TIES, Again, again, mix_within
from pullwright.pull.sequence.aim import Aim, Order, in_lots, set_ups_in
from pullwright.pull.sequence.asked_today import Asked, asked_now, asked_on, even_by, pacer_of, uses_of, whole_pitch
from pullwright.pull.sequence.begun import Begun, on_the_day, worked_to
from pullwright.pull.sequence.day import Day
from pullwright.pull.sequence.day_box import Slot, Stretch, box, stretches_of, worked_until, working_time
from pullwright.pull.sequence.evenness_of_day import evenness
from pullwright.pull.sequence.levelled import levelled
from pullwright.pull.sequence.room_of_day import RoomOfDay, WorkingDay
from pullwright.pull.sequence.set_up_times import SetUpTimes
from pullwright.pull.sequence.telling import Background, sentences
from pullwright.pull.sequence.with_set_ups import TradeOff, fewest_set_ups, trade_off

Names = Sequence[str]


def day_of(
    flow: Flow,
    *,
    date: dt.date | None = None,
    planned: Names = (),
    done: Names = (),
    frozen: int = 0,
    now: dt.time | None = None,
) -> Day:
    """In which order are the pieces of a day made, when is each asked for, and what does that cost and gain?

    Parameters: `flow`, the flow of the line, whose `plan.day` says what is ordered and wished; `date`, the day (None: the first working day of a
    usual week). In the middle of a day: `planned`, the sequence that the day began with (that of the orders as they stand where nothing is said);
    `done`, the products made so far, in their order; `frozen`, how many of the next slots of the box stay as they are; `now`, the time on the clock
    (None: the pieces done took the takt that was planned).
    Result: the day, see `Day`. What the day cannot make is left over and said.
    Errors: BadPlanInput for a day on which nobody works, a product that the line does not make, a time or pitch that is not allowed;
    NoSuchPlan where fewer set-ups are wished than the products need.
    """
    return Planning(flow, date, Begun(tuple(planned), tuple(done), frozen, now=now)).day()


@dataclass(frozen=True)
class Planning:
    """One day on its way from orders to box."""

    flow: Flow
    date: dt.date | None = None
    begun: Begun = field(default_factory=Begun)

    @cached_property
    def names(self) -> tuple[str, ...]:
        return tuple(product.name for product in self.flow.line.products)

    @cached_property
    def working_day(self) -> WorkingDay:
        return WorkingDay.of(self.flow.line, self.date)

    @cached_property
    def asked(self) -> Asked:
        asked = asked_on(self.flow, self.working_day)
        return asked if self.begun.asked is None else asked_now(asked, self.begun.asked, self.begun.words)

    @cached_property
    def pacer(self) -> int | None:
        return pacer_of(self.flow)

    @cached_property
    def times(self) -> SetUpTimes:
        return SetUpTimes(self.flow, self.pacer)

    @cached_property
    def usual(self) -> tuple[Stretch, ...]:
        """When the pacemaker works; the line, where no step is set up."""
        shifts = self.working_day.shifts
        if self.pacer is not None:
            line = self.flow.line
            station = next(one for one in line.stations if one.name == line.steps[self.pacer].station)
            shifts = self.working_day.shifts_at(station.shifts)
        return stretches_of(shifts)

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """When it works on this day, if it ends at another time than usual."""
        return worked_to(self.usual, self.begun.until)

    @cached_property
    def seconds(self) -> float:
        return working_time(self.stretches)

    # --- sequences ----------------------------------------------------------------------------------------------------

    @cached_property
    def uses(self) -> dict[str, tuple[float, ...]]:
        return uses_of(self.flow)

    @cached_property
    def by(self) -> tuple[Literal["rate", "parts"], str]:
        return even_by(self.flow, self.asked.counts)

    def aim(self, counts: Sequence[int]) -> Aim:
        if self.by[0] == "rate":
            return Aim.of_products(counts)
        return Aim.of_parts(counts, [self.uses[name] for name in self.names], products=TIES)

    @cached_property
    def wish(self) -> int | None:
        return self.flow.line.plan.day.set_ups if self.flow.line.plan is not None else None

    @cached_property
    def room(self) -> RoomOfDay:
        return RoomOfDay(self.flow, self.working_day, self.pacer)

    def fitting(self, counts: tuple[int, ...]) -> tuple[int, ...]:
        """As much of the mix as the day can make: the first pieces of its most even order."""

        def first(pieces: int) -> tuple[int, ...]:
            if pieces == sum(counts):
                return counts
            order = levelled(Aim.of_products(counts)).order[:pieces]
            return tuple(np.bincount(np.array(order, dtype=np.intp), minlength=len(counts)).tolist())

        return first(self.most(sum(counts), first, self.room, None))

    def most(self, pieces: int, mix: Callable[[int], tuple[int, ...]], room: RoomOfDay, last: int | None) -> int:
        """Up to how many pieces is there room, if so many pieces are this mix? `last`: the product that the set-up is for."""

        def fits(some: int) -> bool:
            counts = mix(some)
            return room.fits(counts, fewest_set_ups(Aim.of_products(counts), last) * self.times.shortest)

        if fits(pieces):
            return pieces
        low, high = 0, pieces
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if fits(middle) else (low, middle)
        return low

    @cached_property
    def morning(self) -> tuple[Order, TradeOff | None, tuple[TradeOff, ...]]:
        """The sequence that a day with these orders begins with, the point of the trade-off that it is, and the trade-off."""
        counts = self.fitting(self.asked.counts)
        aim = self.aim(counts)
        if self.pacer is None and self.wish is None:
            even = levelled(aim)
            return even.order, TradeOff(set_ups_in(even.order), even.order, even.squares, even.at_least), ()
        points = trade_off(aim, points=5)
        spare = self.room.loads(counts)[1]
        most = points[-1].set_ups if self.wish is None else min(self.wish, points[-1].set_ups)
        while True:
            chosen = next((p for p in points if p.set_ups == most), None) or trade_off(aim, most, points=1)[-1]
            taken = self.times.seconds([self.names[i] for i in chosen.order])
            if taken <= spare + 1e-6 or chosen.set_ups <= points[0].set_ups:
                return chosen.order, chosen, points
            most = max(_fewer(chosen.set_ups, spare / taken), points[0].set_ups)

    # --- the day ------------------------------------------------------------------------------------------------------

    def day(self) -> Day:
        for name in (*self.begun.planned, *self.begun.done):
            if name not in self.names:
                raise BadPlanInput(f"product {name!r} was read; allowed: {', '.join(self.names)}")
        pitch, pitch_why = whole_pitch(self.flow)
        anew = self.anew(round(pitch.value)) if self.begun.at_all else None
        point, points = (None, ()) if anew else self.morning[1:]
        sequence = anew.sequence if anew else tuple(self.names[i] for i in self.morning[0])
        counts = Counter(sequence)
        left = {
            name: n - counts[name] for name, n in zip(self.names, self.asked.counts, strict=True) if n > counts[name]
        }
        made = {
            name: self._made(name, figure, left.get(name, 0), counts[name])
            for name, figure in self.asked.pieces.items()
        }
        takt, pitch_time = self._takt(made, anew, pitch)
        slots = self._box(sequence, round(pitch.value), takt, anew)
        words = self.begun.words
        lots = [
            self.names[i]
            for i in in_lots([counts[name] for name in self.names], [self.times.lot_of(name) for name in self.names])
        ]
        day = Day(
            self.working_day.words, self.asked.pieces, made, left, sequence, len(anew.done) if anew else 0,
            len(anew.frozen) if anew else 0, slots, pitch, takt, pitch_time, self.by[0], self.times.step,
            *self.times.figures(words, sequence), *self.times.figures(f" / in lots{words}", lots), points,
            anew.squares if anew else point.squares if point else 0.0, anew.at_least if anew else point.at_least if point else 0.0,
            evenness(sequence, lots, made, self.uses, [part.name for part in self.flow.line.parts], words), (),
        )  # fmt: skip
        fullest = self.room.fullest(self.asked.counts) if left else ("", 0.0)
        background = Background(self.asked.told, self.by[1], pitch_why, self.wish, fullest, anew)
        return replace(day, said=sentences(day, background))

    def anew(self, pitch: int) -> Again:
        """The rest of a day that has begun."""
        begun, planned, done = self.begun, self.planned, self.begun.done
        orders = dict(zip(self.names, self.asked.counts, strict=True))
        on = begun.on or (done[-1] if done else None)
        set_up = () if on is None else (on,)
        room = RoomOfDay(self.flow, self.working_day, self.pacer, self.share)
        frozen = begun.frozen * pitch
        if len(done) % pitch and frozen:  # the slot that is being made ends first
            frozen += pitch - len(done) % pitch

        def mix(pieces: int) -> tuple[int, ...]:
            found = mix_within(planned, done, orders, pieces, frozen=frozen, started=begun.started, lost=begun.lost)
            return tuple(found[name] for name in self.names)

        whole = max(sum(orders.values()), len(planned))
        pieces = self.most(sum(mix(whole)), mix, room, None if on is None else self.names.index(on))
        spare = room.loads(mix(pieces))[1]
        coming = planned[len(done) :]
        keep = (
            not begun.lost
            and planned[: len(done)] == done
            and Counter(planned) == Counter(orders)
            and pieces == len(coming)
        )
        keep = keep and self.times.seconds([*set_up, *coming]) <= spare + 1e-6
        spent = set_ups_in([self.names.index(name) for name in done])
        wish = None if self.wish is None else max(self.wish - spent, 0)
        uses = self.uses if self.by[0] == "parts" else None
        while True:
            found = again(
                planned, done, orders, frozen=frozen, started=begun.started, lost=begun.lost, on=on, room=pieces, set_ups=wish, uses=uses, keep=keep,
            )  # fmt: skip
            following = (*found.frozen, *found.rest)
            least = set_ups_in([self.names.index(name) for name in (*set_up, *found.frozen)])
            least += fewest_set_ups(
                Aim.of_products([found.rest.count(name) for name in self.names]), found.last_of(self.names)
            )
            taken = self.times.seconds([*set_up, *following])
            if taken <= spare + 1e-6 or found.set_ups <= least:
                return found
            wish = max(_fewer(found.set_ups, spare / taken), least)

    @cached_property
    def planned(self) -> tuple[str, ...]:
        """The sequence that the day began with."""
        return self.begun.planned or tuple(self.names[i] for i in self.morning[0])

    @cached_property
    def gone(self) -> float:
        """Working time that is gone by (s)."""
        if self.begun.now is not None:
            return worked_until(self.stretches, on_the_day(self.begun.now, self.usual))
        return len(self.begun.done) * working_time(self.usual) / max(len(self.planned), 1)

    @property
    def share(self) -> float:
        """How much of the working time of a usual day is left?"""
        whole = working_time(self.usual)
        return max((self.seconds - self.gone) / whole, 0.0) if whole else 0.0

    # --- figures ------------------------------------------------------------------------------------------------------

    def _made(self, name: str, asked: Figure, left: int, made: int) -> Figure:
        over, words = made - round(asked.value), self.begun.words
        if over > 0:
            more = given(
                f"made beyond what is asked / {name}{words}",
                over,
                "pieces",
                Source("computed", "made before the order was withdrawn"),
            )
            return derive(
                f"made today / {name}{words}",
                lambda a, b: a + b,
                asked,
                more,
                unit="pieces",
                formula="asked for + made before it was withdrawn",
            )
        rest = given(f"left over today / {name}{words}", left, "pieces", Source("computed", "what the day cannot make"))
        return derive(
            f"made today / {name}{words}",
            lambda a, b: a - b,
            asked,
            rest,
            unit="pieces",
            formula="asked for - left over",
        )

    def _takt(self, made: dict[str, Figure], anew: Again | None, pitch: Figure) -> tuple[Figure | None, Figure | None]:
        if not any(round(figure.value) for figure in made.values()):
            return None, None
        source, words = self.flow.givens.source(("calendar", "shifts")), self.begun.words
        time = given(f"working time on {self.working_day.words}{words}", self.seconds, "s", source)
        pieces = list(made.values())
        formula = "net working time of the day / pieces made"
        if anew is not None and self.gone and len(anew.sequence) > len(anew.done):
            time = given(
                f"working time left on {self.working_day.words}{words}", max(self.seconds - self.gone, 1.0), "s", source
            )
            n = len(anew.sequence) - len(anew.done)
            pieces = [
                given(f"pieces left today{words}", n, "pieces", Source("computed", "pieces made today - pieces done"))
            ]
            formula = "net working time left / pieces left"
        takt = derive(f"takt of the day{words}", lambda t, *n: t / sum(n), time, *pieces, unit="s", formula=formula)
        return takt, derive(f"pitch of the day{words}", lambda t, n: t * n, takt, pitch, unit="s", formula="takt of the day x pieces asked for at a time")  # fmt: skip

    def _box(self, sequence: Sequence[str], pitch: int, takt: Figure | None, anew: Again | None) -> tuple[Slot, ...]:
        if takt is None:
            return ()
        done = len(anew.done) if anew else 0
        before = self.gone / done if anew and done else None
        now = self.gone if anew and self.begun.now is not None else None
        return box(sequence, pitch, takt.value, self.stretches, done=done, done_takt=before, now=now)


def _fewer(n: int, share: float) -> int:
    """About this share of a number, and at least one less."""
    return max(min(n - 1, int(n * share + 1e-9)), 0)

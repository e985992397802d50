"""A third opinion on what happens in a run: the rules of docs/forecast.md as processes of SimPy, slow and straight.

Machines, customers, schedules and ways are processes; whatever happens, all benches are gone through again from the customer back to the first
step, until nothing more moves: no bench has to be told that something has come. It draws from the same streams in the same order as the event
kernel, so that the two can be held against each other piece by piece.
"""

from __future__ import annotations

from math import inf

import numpy as np
import simpy

from pullwright.forecast.events.rows import HELD, KINDS_OF_TIME, NOBODY, NOT_ASKED, SET_UP_TIME, STARVED, WORKING
from pullwright.line import Line
from tests.forecast.twin_lots import parted_of_any
from tests.forecast.twin_machine import AT_WORK, HOLDS, IDLE, SETTING, WAITS_AGAIN, Machine, Moment, Process
from tests.forecast.twin_of_line import Bench, Piece, Stream, TwinLine, TwinStep
from tests.forecast.twin_pulling import Pulling


class Twin(Pulling):
    """One run of one line."""

    def __init__(self, text: str, *, until: float, seed: int = 0, run: int = 0) -> None:
        super().__init__(TwinLine(Line.from_text(text), seed, run), simpy.Environment())
        steps, line = len(self.of.steps), self.of.line
        self.machines = self._machines()
        self.orders = len(self.machines)
        self.ticks = self.orders + len(self.of.names)
        self.ways = self.ticks + steps
        for p, stream in enumerate(self.of.orders):
            if stream is not None:
                self.env.process(self._customer(p, stream))
        for step, said in zip(self.of.steps, line.steps, strict=True):
            if step.tick > 0:
                self.env.process(self._schedule(step))
            for p, loop in step.loops.items() if self._is_first(step) else ():
                for _ in range((loop.cards - loop.back) * loop.per_card):
                    self._job(step, p)
            if step.by == "cards" and self._is_first(step) and said.release is not None:
                if step.any_on_a_card:
                    for p, many in parted_of_any(self.of, step).items():
                        for _ in range(many):
                            self._job(step, p)
                    continue
                for _ in range(said.release.cards or 0):
                    self._jobs_by_mix(step, step.per_card)
        self._settle()
        self.env.run(until)
        for machine in self.machines:
            machine.spends(STARVED)
        self.told.times = np.array([[sum(m.times[kind] for m in self.machines if m.station == s) for kind in range(KINDS_OF_TIME)] for s in range(len(line.stations))])  # fmt: skip
        self.told.lying = [area / until + many for area, many in zip(self.told.lying, self.lying, strict=True)]

    def _machines(self) -> list[Machine]:
        made: list[Machine] = []
        for s, station in enumerate(self.of.line.stations):
            for k in range(station.machines):
                m = Machine(self.env, s, len(made))
                made.append(m)
                fails = station.breakdowns
                if fails is not None:
                    m.between = self.of.at_random(
                        ("stations", s, "breakdowns", "between"), "between", station.name, str(k)
                    )
                    m.repair = self.of.time(
                        ("stations", s, "breakdowns", "repair"), fails.repair, "repair", station.name, str(k)
                    )
                    m.by_clock = fails.counted_by == "clock"
                    if m.by_clock:
                        self.env.process(self._outages(m, m.between, m.repair))
                    else:
                        m.up_left = m.between.next()
                self.env.process(self._machine(m))
        return made

    # --- processes --------------------------------------------------------------------------------------------------

    def _customer(self, p: int, stream: Stream) -> Process:
        while True:
            yield Moment(self.env, stream.next(), self.orders + p)
            self.waiting[p].append(self.env.now)
            last = next(step for step in self.of.steps if p in step.goes_to and step.goes_to[p][0] is None)
            jobs = self.of.jobs_for(p, last.index)
            for step in self.of.steps:
                if step.index in jobs and step.by not in ("push", "cards"):
                    for _ in range(jobs[step.index]):
                        self._job(step, p)
                elif p in step.goes_to and step.index not in jobs and step.by == "order":
                    step.permits += self.of.pieces_for(p, last.index).get(step.index, 0)
            if self.finished[p]:
                self._ship(p)
            self._settle()

    def _schedule(self, step: TwinStep) -> Process:
        yield Moment(self.env, 0.0, self.ticks + step.index)
        while True:
            if self._is_first(step):
                self._jobs_by_mix(step, 1)
            else:
                step.permits += 1
            self._settle()
            yield Moment(self.env, step.tick, self.ticks + step.index)

    def _outages(self, m: Machine, between: Stream, repair: Stream) -> Process:
        while True:
            yield m.waits(between.next())
            m.down = True
            m.broke.succeed()
            m.broke = self.env.event()
            yield m.waits(repair.next())
            m.down = False
            m.mended.succeed()
            m.mended = self.env.event()
            self._settle()

    def _machine(self, m: Machine) -> Process:
        while True:
            yield m.called
            m.called = self.env.event()
            assert m.bench is not None
            step = m.bench.step
            if m.doing == SETTING:
                stream = step.set_up_pairs.get((m.made_last, m.sets_up_for), step.set_up)
                assert stream is not None
                yield from m.work(stream.next(), SET_UP_TIME)
                self._let_go(m, step.set_up_people)
                m.set_for, m.lot_left, m.doing = step, step.lots.get(m.sets_up_for, step.lot), IDLE
            else:
                yield from self._make(m, m.bench)
            self._settle()

    def _make(self, m: Machine, bench: Bench) -> Process:
        step, piece = bench.step, m.piece
        assert piece is not None
        attended = alone = 0.0
        for stream, share in step.work[piece.product]:
            time = stream.next() * bench.times
            attended += time * share
            alone += time * (1 - share)
        if attended > 0 or alone == 0:
            yield from m.work(attended, WORKING)
            self._let_go(m, self.of.people_for(step, piece.product))
        else:
            self._let_go(m, self.of.people_for(step, piece.product))
            self._settle()
        if alone > 0:
            if attended > 0:
                self._settle()
            yield from m.work(alone, WORKING)
        chance = 1.0 if step.luck is None else step.luck.next()
        if chance < step.scrap:
            m.doing = IDLE
            self._scrap(piece, step)
            return
        if chance < step.scrap + step.again and step.again_to is not None:
            m.doing = IDLE
            self._ended(piece, step)
            self._arrive(piece, self.of.steps[step.again_to], 0, new=True)
            return
        if chance < step.scrap + step.again:
            m.doing = WAITS_AGAIN
            m.spends(NOBODY)
            self._settle()
            yield m.called
            m.called = self.env.event()
            time = attended + alone if step.again_time is None else step.again_time.next() * bench.times
            yield from m.work(time, WORKING)
            self._let_go(m, step.again_people)
        self._ended(piece, step)
        self.told.made[step.index] += 1
        m.doing, m.since = HOLDS, self.env.now
        m.spends(HELD)

    def _carry(self, pieces: list[Piece], step: TwinStep, to: int | None, k: int, seconds: float) -> Process:
        yield Moment(self.env, seconds, self.ways + step.index)
        for piece in pieces:
            self._come(piece, to, k)
        self._settle()

    # --- all that can be done now -----------------------------------------------------------------------------------

    def _settle(self) -> None:
        while any(self._hand_on(bench) or self._put_right(bench) or self._begin(bench) for bench in self.of.benches):
            pass
        for m in self.machines:
            if m.doing == IDLE and not m.down:
                benches = [bench for bench in self.of.benches if bench.station == m.station]
                why = min((self._why_not(bench, *self._next(bench)) for bench in benches), default=STARVED)
                if why != m.kind:
                    m.spends(why)

    def _hand_on(self, bench: Bench) -> bool:
        """All that is held and has room, the one that is held longest first."""
        moved = False
        held = [m for m in self.machines if m.doing == HOLDS and m.bench is bench]
        for m in sorted(held, key=lambda one: one.since):
            assert m.piece is not None
            if self._goes_on(bench, m.piece):
                m.doing, moved = IDLE, True
        return moved

    def _goes_on(self, bench: Bench, piece: Piece) -> bool:
        step = bench.step
        if len(bench.ended) + 1 < step.transfer:
            bench.ended.append(piece)
            return True
        lot = [*bench.ended, piece]
        ends = [step.goes_to[one.product] for one in lot]
        if not all(self._fits(to, k, ends.count((to, k)), piece.product, in_lot=step.transfer > 1) for to, k in ends):
            return False
        bench.ended.clear()
        for (to, k), one in zip(ends, lot, strict=True):
            if to is None:
                self.store_here += 1
            else:
                self.of.steps[to].here[k] += 1
            if one.product not in step.way:
                self._come(one, to, k)
        for end in dict.fromkeys(ends):
            carried = [one for one, its in zip(lot, ends, strict=True) if its == end and one.product in step.way]
            if carried:
                self.env.process(self._carry(carried, step, *end, step.way[carried[0].product]))
        return True

    def _fits(self, to: int | None, k: int, many: int, p: int, *, in_lot: bool) -> bool:
        """Do so many fit before a step? A lot that never does is put where nothing else lies; one piece goes straight on to an idle machine."""
        if to is None:
            waiting = 0 if in_lot else len(self.waiting[p])
            return self.store_here + many <= self.of.finished_capacity + waiting or (in_lot and self.store_here == 0)
        step = self.of.steps[to]
        if step.capacity == 0 and not in_lot:
            stations = {bench.station for bench in step.benches}
            return step.here[k] == 0 and any(
                m.doing == IDLE and not m.down and m.station in stations for m in self.machines
            )
        return step.here[k] + many <= step.capacity or (in_lot and step.here[k] == 0)

    def _put_right(self, bench: Bench) -> bool:
        people = bench.step.again_people
        for m in self.machines:
            if (
                m.doing == WAITS_AGAIN
                and m.bench is bench
                and (people == 0 or self._crew(bench.step, people) is not None)
            ):
                self._take_people(m, bench.step, people)
                m.doing = AT_WORK
                m.called.succeed()
                return True
        return False

    def _waiting_piece(self, bench: Bench) -> Piece | None:
        """The piece that came first of those that may be begun; the one that came first where none may."""
        step = bench.step
        ready = [piece for pieces in bench.lying for piece in pieces if self._complete(bench, piece)]
        ready.sort(key=lambda one: one.came)
        return next((one for one in ready if self._may_begin(step, one)), ready[0] if ready else None)

    def _may_begin(self, step: TwinStep, piece: Piece) -> bool:
        """Is there a card, a cap or a schedule for it? What comes back needs none."""
        own = step.loops[piece.product].permits if piece.product in step.loops else inf
        return piece.reached >= step.place or (step.permits > 0 and own > 0)

    def _complete(self, bench: Bench, piece: Piece) -> bool:
        takes = bench.step.takes[piece.product]
        if piece.reached >= bench.step.place or len(takes) * max([many for _, many in takes], default=1) <= 1:
            return True
        return piece in bench.lying[0] and all(
            sum(one.product == piece.product and one.reached < bench.step.place for one in bench.lying[k]) >= many
            for k, (_, many) in enumerate(takes)
        )

    def _next(self, bench: Bench) -> tuple[Machine | None, Piece | None]:
        """The machine that works next at a bench, and on what."""
        if bench.step.lots:
            return self._next_in_lots(bench)
        return self._idle(bench), self._waiting_piece(bench)

    def _next_in_lots(self, bench: Bench) -> tuple[Machine | None, Piece | None]:
        """A lot that is set up goes on; otherwise one is begun of which enough lies there, of the product whose piece came first."""
        step = bench.step
        idle = [m for m in self.machines if m.doing == IDLE and m.station == bench.station and not m.down]
        ready = [
            one for lying in bench.lying for one in lying if self._complete(bench, one) and self._may_begin(step, one)
        ]
        ready.sort(key=lambda one: one.came)
        for piece in ready:
            for m in idle:
                if m.set_for is step and m.lot_left > 0 and m.sets_up_for == piece.product:
                    return m, piece
        idle.sort(key=lambda m: m.set_for is step and m.lot_left > 0)
        for piece in ready:
            if idle and self._is_enough(bench, piece.product):
                return idle[0], piece
        return (idle[0] if idle else None), None

    def _is_enough(self, bench: Bench, p: int) -> bool:
        """Is there leave for a whole lot of a product, and all of it, or all that comes, beyond what lots under way will take?"""
        step, mine = bench.step, [[one for one in lying if one.product == p] for lying in bench.lying]
        again = sum(one.reached >= step.place for lying in mine for one in lying)
        fresh = [sum(one.reached < step.place for one in lying) for lying in mine]
        sets = [fresh[k] // many for k, (_, many) in enumerate(step.takes[p])] or [fresh[0]]
        own = step.loops[p].permits if p in step.loops else inf
        taken = self._still_to_make(bench, p)
        if min(step.permits, own) + again - taken < step.leave[p]:
            return False
        pieces = min(sets) + again - taken
        full = any(step.here[k] >= step.full for k in range(len(step.takes[p])))
        done = any(self._brings_no_more(self.of.steps[giver], p) for giver, _ in step.takes[p])
        return pieces >= (1 if full or done else step.enough[p])

    def _still_to_make(self, bench: Bench, p: int) -> int:
        step, many = bench.step, 0
        for m in self.machines:
            if m.station == bench.station and m.sets_up_for == p:
                if m.doing == SETTING:
                    many += step.lots[p] if m.bench is bench else 0
                elif m.set_for is step:
                    many += m.lot_left
        return many

    def _brings_no_more(self, maker: TwinStep, p: int) -> bool:
        """Are all the cards of a step, of one product or for all, with pieces that lie behind it, or wait for what comes only when some of those are taken?"""
        if maker.by != "cards":
            return False
        mine = [p] if maker.loops else list(maker.takes)
        if maker.loops:
            on_cards = (maker.loops[p].cards - maker.loops[p].back) * maker.loops[p].per_card
        else:
            on_cards = maker.cards * maker.per_card
        rest, waits = on_cards, []
        for q in mine:
            to, k = maker.goes_to[q]
            if to is None:
                rest -= self.finished[q]
            else:
                taker = self.of.steps[to]
                rest -= sum(
                    one.product == q and one.reached < taker.place for bench in taker.benches for one in bench.lying[k]
                )
            rest -= maker.taken.get(q, 0) + sum(one.product == q for bench in maker.benches for one in bench.ended)
            waits.append(self._waits_for_leave(maker, q))
        return rest - (sum(waits) if self._is_first(maker) else max(waits)) <= 0

    def _waits_for_leave(self, maker: TwinStep, p: int) -> float:
        if p not in maker.lots:
            return 0
        made = [self._still_to_make(bench, p) for bench in maker.benches]
        if self._is_first(maker):
            jobs = [sum(one.job and one.product == p for one in bench.lying[0]) for bench in maker.benches]
            return sum(
                many
                for many, under_way in zip(jobs, made, strict=True)
                if not under_way and many < maker.enough.get(p, 1)
            )
        leave = maker.loops[p].permits if maker.loops else maker.permits
        return leave if sum(made) == 0 and leave < maker.leave.get(p, 1) else 0

    def _why_not(self, bench: Bench, m: Machine | None, piece: Piece | None) -> int:
        step = bench.step
        if piece is None or m is None:
            return NOT_ASKED if self._is_first(step) else STARVED
        if not self._may_begin(step, piece):
            return NOT_ASKED
        sets_up = self._sets_up(step, m, piece)
        if sets_up and not step.lots:
            setting = sum(one.doing == SETTING and one.bench is bench for one in self.machines)
            if setting >= len(bench.lying[0]):
                return STARVED
        people = step.set_up_people if sets_up else self.of.people_for(step, piece.product)
        return NOBODY if people > 0 and self._crew(step, people) is None else WORKING

    @staticmethod
    def _sets_up(step: TwinStep, m: Machine, piece: Piece) -> bool:
        """Is the machine to be made ready first?"""
        other = bool(step.lots) and m.sets_up_for != piece.product
        return step.lot > 0 and (m.set_for is not step or m.lot_left <= 0 or other)

    def _idle(self, bench: Bench) -> Machine | None:
        """An idle machine: one that is set up for this step before any other."""
        idle = [m for m in self.machines if m.doing == IDLE and m.station == bench.station and not m.down]
        ready = [m for m in idle if m.set_for is bench.step and m.lot_left > 0]
        return next(iter(ready or idle), None)

    def _begin(self, bench: Bench) -> bool:
        step, (m, piece) = bench.step, self._next(bench)
        if m is None or self._why_not(bench, m, piece) != WORKING:
            return False
        assert piece is not None
        m.bench, m.piece = bench, piece
        if self._sets_up(step, m, piece):
            self._take_people(m, step, step.set_up_people)
            m.doing, m.sets_up_for = SETTING, piece.product
        else:
            self._take_people(m, step, self.of.people_for(step, piece.product))
            fresh = piece.reached < step.place
            self._take(bench, piece, fresh)
            step.permits -= fresh
            if piece.product in step.loops:
                step.loops[piece.product].permits -= fresh
            m.doing, m.set_for, m.made_last = AT_WORK, step, piece.product
            m.lot_left -= 1
        m.called.succeed()
        return True

    def _take(self, bench: Bench, piece: Piece, fresh: bool) -> None:
        step = bench.step
        if piece.job:
            bench.lying[0].remove(piece)
            piece.job, piece.born = False, self.env.now
            self._more(-1)
            return
        takes = step.takes[piece.product] if fresh else [(-1, 0)] * len(bench.lying)
        for k, (giver, many) in enumerate(takes or [(-1, 0)]):
            mine = [one for one in bench.lying[k] if one.product == piece.product and one.reached < step.place]
            for one in mine[:many] if fresh else [piece] if piece in bench.lying[k] else []:
                bench.lying[k] = [other for other in bench.lying[k] if other is not one]
                step.here[k] -= 1
                self._less(step.index)
                if fresh:
                    self._card_back(self.of.steps[giver], piece.product)
                if one is not piece:
                    self._less(-1)

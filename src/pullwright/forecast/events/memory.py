"""The rows of a line at its start: the memory that a run copies, with room for pieces behind it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.events import rows as r
from pullwright.forecast.events.rows import NONE, Floats, Words
from pullwright.forecast.plant import NEVER, Plant


class Memory:
    """Words that grow while rows are laid; the two views are made at the end."""

    def __init__(self) -> None:
        self.words: list[int | float] = [0] * r.LINE_WIDE
        self.floats: set[int] = set()

    def rows(self, count: int, wide: int) -> int:
        """So many rows of this width, all 0; where the first begins."""
        at = len(self.words)
        self.words.extend([0] * (count * wide))
        return at

    def list(self, items: Iterable[int]) -> tuple[int, int]:
        """A list of whole numbers; where it begins, and the place after its end."""
        at = len(self.words)
        self.words.extend(int(one) for one in items)
        return at, len(self.words)

    def real(self, at: int, value: float) -> None:
        """A float at a place."""
        self.words[at] = float(value)
        self.floats.add(at)

    def views(self) -> tuple[Words, Floats]:
        """The same memory as whole numbers and as floats."""
        w = np.array([0 if k in self.floats else int(word) for k, word in enumerate(self.words)], np.int64)
        f = w.view(np.float64)
        for at in self.floats:
            f[at] = self.words[at]
        return w, f


def memory_of(plant: Plant) -> tuple[Words, Floats]:
    """The rows of a plant at moment 0 with what lies there, without room for more pieces; see `with_room`."""
    return _Laying(plant).laid()


def with_room(start: Words, pieces: int) -> tuple[Words, Floats]:
    """A copy to run in, with room for so many pieces and waiting orders more."""
    w = np.zeros(start.size + pieces * r.PIECE_WIDE, np.int64)
    w[: start.size] = start
    return w, w.view(np.float64)


class _Laying:
    def __init__(self, plant: Plant) -> None:
        self.plant, self.m = plant, Memory()
        p = plant
        self.streams = self.m.rows(p.stream_kind.size, r.STREAM_WIDE)
        self.steps = self.m.rows(p.step_place.size, r.STEP_WIDE)
        self.store = self.m.rows(1, r.STEP_WIDE)
        self.benches = self.m.rows(p.bench_step.size, r.BENCH_WIDE)
        self.stations = self.m.rows(p.station_machine.shape[0], r.STATION_WIDE)
        self.machines = self.m.rows(p.machine_station.size, r.MACHINE_WIDE)
        self.products = self.m.rows(p.mix.size, r.PRODUCT_WIDE)
        self.hops = self.m.rows(p.hop_time.size, r.HOP_WIDE)
        self.crews = self.m.rows(p.crew_number.size, r.CREW_WIDE)
        self.parts = self.m.rows(p.part_lot.size, r.PART_WIDE)
        self.changes = self.m.rows(p.change_at.size, r.CHANGE_WIDE)
        self.scheduled = np.flatnonzero(p.step_tick > 0)
        self.first_order = 1 + p.machine_station.size
        self.first_hop = self.first_order + p.mix.size + self.scheduled.size
        self.first_part = self.first_hop + p.hop_time.size
        groups = -(-(self.first_part + p.part_lot.size) // r.GROUP)
        self.slots = groups * r.GROUP
        self.moments = self.m.rows(self.slots, 1)
        self.least = self.m.rows(groups, 1)
        self.queues = self.m.rows(self._queue_count(), r.QUEUE_WIDE)

    def set(self, at: int, **fields: int) -> None:
        for name, value in fields.items():
            self.m.words[at + getattr(r, name)] = int(value)

    def real(self, at: int, **fields: float) -> None:
        for name, value in fields.items():
            self.m.real(at + getattr(r, name), value)

    def stream(self, k: int) -> int:
        return NONE if k == NEVER else self.streams + int(k) * r.STREAM_WIDE

    def step(self, i: int) -> int:
        return self.store if i == NEVER else self.steps + int(i) * r.STEP_WIDE

    def product(self, p: int) -> int:
        return self.products + int(p) * r.PRODUCT_WIDE

    def _queue_count(self) -> int:
        return sum(self._queues_of(int(i)) for i in self.plant.bench_step)

    def _queues_of(self, i: int) -> int:
        """Queues of a bench of step `i`: one; or one for each input and product, and where products have lots of their own one more for each, of pieces that come back."""
        p = self.plant
        return (int(p.step_inputs[i]) + int(p.step_lots[i])) * p.mix.size if p.step_joins[i] else 1

    def laid(self) -> tuple[Words, Floats]:
        for lay in (
            self._streams,
            self._steps,
            self._store,
            self._benches,
            self._machines,
            self._products,
            self._hops,
            self._caps,
            self._parts,
            self._changes,
        ):
            lay()
        p = self.plant
        for slot in range(self.slots + self.slots // r.GROUP):
            self.m.real(self.moments + slot, np.inf)
        route, _ = self.m.list(self.step(int(i)) for i in np.argsort(p.step_place))
        ticks, ticks_end = self.m.list(self.step(int(i)) for i in self.scheduled)
        for c, number in enumerate(p.crew_number):
            self.set(self.crews + c * r.CREW_WIDE, CREW_FREE=number)
        spare = self.m.rows(2, r.BLOCK)
        self.set(
            0, BENCHES=self.benches, BENCHES_END=self.benches + p.bench_step.size * r.BENCH_WIDE, MACHINES=self.machines,
            MACHINES_END=self.machines + p.machine_station.size * r.MACHINE_WIDE, PRODUCTS=self.products,
            PRODUCTS_END=self.products + p.mix.size * r.PRODUCT_WIDE, STEPS=self.steps, STEPS_END=self.steps + p.step_place.size * r.STEP_WIDE,
            HOPS=self.hops, HOPS_END=self.hops + p.hop_time.size * r.HOP_WIDE, STREAMS=self.streams,
            STREAMS_END=self.streams + p.stream_kind.size * r.STREAM_WIDE, STORE=self.store, MOMENTS=self.moments, SLOTS=self.slots, SPARE=spare, LEAST=self.least, TICKS=ticks, TICKS_END=ticks_end, ROUTE=route,
            PARTS=self.parts, PARTS_END=self.parts + p.part_lot.size * r.PART_WIDE, CHANGES=self.changes,
            CHANGES_END=self.changes + p.change_at.size * r.CHANGE_WIDE, CHANGE=self.changes, CHANGE_SLOT=self.moments,
        )  # fmt: skip
        self.real(0, FASTER=p.hurry[0], MORE_DEFECTS=p.hurry[1])
        self._stock()
        w, _ = self.m.views()
        whole = np.concatenate([w, self.pieces.ravel()])
        return whole, whole.view(np.float64)

    def _streams(self) -> None:
        p = self.plant
        at, _ = self.m.list([0] * p.readings.size)
        for k, reading in enumerate(p.readings):
            self.m.real(at + k, reading)
        for k in range(p.stream_kind.size):
            row, (first, many) = self.stream(k), p.stream_readings[k]
            self.set(row, KIND=p.stream_kind[k], READINGS=at + first, READINGS_END=at + first + many, USED=r.BLOCK)
            self.set(row, KEY=p.stream_key[k].astype(np.int64))
            mean, a, b, c = p.stream_numbers[k]
            self.real(row, MEAN=mean, A=a, B=b, C=c)

    def _steps(self) -> None:
        p = self.plant
        for i in range(p.step_place.size):
            row = self.step(i)
            credits_at, _ = self.m.list([0] * p.mix.size)
            for k in range(p.mix.size):
                self.m.real(credits_at + k, 0.0)
            crews, crews_end = self.m.list(self.crews + int(c) * r.CREW_WIDE for c in np.flatnonzero(p.crew_can[i]))
            feeders, feeders_end = self.m.list(self.step(j) for j in p.feeder_of[p.feeders[i, 0] : p.feeders[i, 1]])
            pairs, pairs_end = self.m.list(
                word
                for n, before, after, stream in p.pairs
                if n == i
                for word in (self.product(before), self.product(after), self.stream(stream))
            )
            inputs = self.m.rows(int(p.step_inputs[i]), r.INPUT_WIDE)
            taken, _ = self.m.list(p.step_taken[i])
            for k in range(int(p.step_inputs[i])):
                self.set(inputs + k * r.INPUT_WIDE, INPUT_ALIKE=p.input_alike[i, k])
            self.set(
                row, STEP_BENCHES=self.benches + p.step_bench[i, 0] * r.BENCH_WIDE, STEP_BENCHES_END=self.benches + p.step_bench[i, 1] * r.BENCH_WIDE,
                PLACE=p.step_place[i], INPUTS=p.step_inputs[i], JOINS=p.step_joins[i], CAPACITY=p.step_capacity[i], TRANSFER=p.step_transfer[i],
                LOT=p.step_lot[i], PEOPLE=p.step_people[i], SET_UP=self.stream(p.step_set_up[i]), SET_UP_PEOPLE=p.step_set_up_people[i],
                AGAIN_TO=NONE if p.step_again_to[i] == NEVER else self.step(p.step_again_to[i]), AGAIN_TIME=self.stream(p.step_again_time[i]),
                AGAIN_PEOPLE=p.step_again_people[i], LUCK=self.stream(p.step_luck[i]), WHERE=self.stream(p.step_where[i]), RELEASE=p.step_release[i],
                PER_CARD=p.step_per_card[i], PERMITS=p.step_permits[i], JOBS=p.step_jobs[i], CREWS=crews, CREWS_END=crews_end, FEEDERS=feeders,
                FEEDERS_END=feeders_end, PAIRS=pairs, PAIRS_END=pairs_end, CREDITS=credits_at, STEP_INDEX=i, INPUT_ROWS=inputs, HURRY_AT=p.step_hurry_at[i], DEBT=p.step_debt[i], TAKEN=taken, FIRST_STEP=int(p.first[:, i].max() > 0),
                APART=p.step_apart[i], LOTS=p.step_lots[i], OWN_CARDS=p.step_own_cards[i], SPREADS=p.step_spreads[i], FULL_AT=p.step_full_at[i],
                ANY=p.step_any[i], TAKEN_OF_ANY=p.step_taken[i].sum() if p.step_any[i] else 0,
            )  # fmt: skip
            self.real(row, SCRAP=p.step_scrap[i], AGAIN_SHARE=p.step_again[i], TICK=p.step_tick[i], AREA=0.0)
        self._legs()

    def _legs(self) -> None:
        p = self.plant
        elements = self.m.rows(p.element_stream.size, r.ELEMENT_WIDE)
        for e in range(p.element_stream.size):
            self.set(
                elements + e * r.ELEMENT_WIDE,
                ELEMENT_STREAM=self.stream(p.element_stream[e]),
                BY_HAND=p.element_by_hand[e],
            )
            self.real(elements + e * r.ELEMENT_WIDE, ELEMENT_ATTENDED=p.element_attended[e])
        for i in range(p.step_place.size):
            legs = self.m.rows(p.mix.size, r.LEG_WIDE)
            self.set(self.step(i), LEGS=legs)
            for n in range(p.mix.size):
                if p.element[n, i, 0] == NEVER:
                    continue
                row = legs + n * r.LEG_WIDE
                needs, _ = self.m.list(
                    word
                    for k in range(p.need.shape[2])
                    for word in (p.need[n, i, k], NONE if p.giver[n, i, k] == NEVER else self.step(p.giver[n, i, k]))
                )
                instead, instead_end = self.m.list(
                    word for j in range(p.step_place.size) for word in self._instead(int(p.in_place[n, i, j]), j)
                )
                uses, uses_end = self._uses(n, i)
                attended = p.element_attended[p.element[n, i, 0] : p.element[n, i, 1]].any()
                self.set(
                    row, NEXT_STEP=self.step(p.next_step[n, i]), NEXT_INPUT=p.next_input[n, i],
                    LEG_HOP=NONE if p.hop[n, i] == NEVER else self.hops + p.hop[n, i] * r.HOP_WIDE,
                    ELEMENTS=elements + p.element[n, i, 0] * r.ELEMENT_WIDE, ELEMENTS_END=elements + p.element[n, i, 1] * r.ELEMENT_WIDE,
                    FIRST=p.first[n, i], NEEDS=needs, INSTEAD=instead, INSTEAD_END=instead_end, USES=uses, USES_END=uses_end, ATTENDED_WORK=int(attended or p.element[n, i, 0] == p.element[n, i, 1]),
                    OWN_PERMITS=p.own_permits[n, i], OWN_JOBS=p.own_jobs[n, i], GATHERED=p.own_gathered[n, i], ON_CARD=p.own_on_card[n, i],
                    SIGNAL=p.own_signal[n, i], OWN_LOT=p.own_lot[n, i], ENOUGH=p.own_enough[n, i], LEAVE=p.own_leave[n, i], CARDS=p.own_cards[n, i],
                )  # fmt: skip

    def _uses(self, n: int, i: int) -> tuple[int, int]:
        p = self.plant
        mine = [k for k in range(p.use_quantity.size) if p.use[k, 0] == n and p.use[k, 1] == i]
        at, end = self.m.list(word for k in mine for word in (self.parts + p.use[k, 2] * r.PART_WIDE, 0))
        for place, k in enumerate(mine):
            self.m.real(at + 2 * place + 1, p.use_quantity[k])
        return at, end

    def _instead(self, jobs: int, j: int) -> tuple[int, ...]:
        """In place of a scrapped piece: jobs at a first step that works to order, or a permit at a later one that does."""
        release = self.plant.step_release[j]
        if jobs > 0 and release not in (r.PUSHED, r.CARDED):
            return self.step(j), jobs
        return (self.step(j), jobs) if jobs < 0 and release == r.ORDERED else ()

    def _store(self) -> None:
        p, last = self.plant, self.plant.step_place.size
        place = self.m.rows(1, r.INPUT_WIDE)
        feeders, feeders_end = self.m.list(self.step(j) for j in p.feeder_of[p.feeders[last, 0] : p.feeders[last, 1]])
        self.set(
            self.store, INPUT_ROWS=place, CAPACITY=p.finished_capacity[0], FEEDERS=feeders, FEEDERS_END=feeders_end
        )
        self.real(self.store, AREA=0.0)
        self.m.real(r.WHOLE + r.AREA, 0.0)

    def _benches(self) -> None:
        p, queue = self.plant, self.queues
        for b in range(p.bench_step.size):
            i = int(p.bench_step[b])
            row = self.benches + b * r.BENCH_WIDE
            self.set(
                row,
                BENCH_STEP=self.step(i),
                BENCH_STATION=self.stations + p.bench_station[b] * r.STATION_WIDE,
                QUEUES=queue,
                REASON=r.STARVED,
            )
            self.real(row, FACTOR=p.bench_factor[b], SHARE=p.bench_share[b])
            queue += self._queues_of(i) * r.QUEUE_WIDE

    def _machines(self) -> None:
        p = self.plant
        for s in range(p.station_machine.shape[0]):
            row = self.stations + s * r.STATION_WIDE
            at, end = self.m.list(
                self.benches + b * r.BENCH_WIDE for b in p.bench_at[p.station_bench[s, 0] : p.station_bench[s, 1]]
            )
            self.set(
                row, STATION_MACHINES=self.machines + p.station_machine[s, 0] * r.MACHINE_WIDE,
                STATION_MACHINES_END=self.machines + p.station_machine[s, 1] * r.MACHINE_WIDE, STATION_BENCHES=at, STATION_BENCHES_END=end,
                IDLE_MACHINES=p.station_machine[s, 1] - p.station_machine[s, 0], CLOSED=p.station_closed[s],
            )  # fmt: skip
            for kind in range(r.KINDS_OF_TIME):
                self.m.real(row + r.TIMES + kind, 0.0)
        for m in range(p.machine_station.size):
            row = self.machines + m * r.MACHINE_WIDE
            self.set(
                row, MACHINE_STATION=self.stations + p.machine_station[m] * r.STATION_WIDE, BETWEEN=self.stream(p.machine_between[m]),
                REPAIR=self.stream(p.machine_repair[m]), COUNTED=p.machine_counted[m], SLOT=self.moments + 1 + m, WHY=r.STARVED,
            )  # fmt: skip
            self.real(row, SINCE=0.0, ALONE_LEFT=0.0, WHOLE_TIME=0.0, UP_LEFT=np.inf, FAILS=np.inf, UP=np.inf)

    def _products(self) -> None:
        p = self.plant
        for n in range(p.mix.size):
            self.set(self.product(n), PRODUCT_ORDERS=self.stream(p.order_stream[n]), PRODUCT_INDEX=n)
            self.real(self.product(n), MIX=p.mix[n])

    def _hops(self) -> None:
        p = self.plant
        for h in range(p.hop_time.size):
            row = self.hops + h * r.HOP_WIDE
            self.set(
                row,
                HOP_END=self.step(p.hop_end[h]),
                HOP_INPUT=p.hop_input[h],
                HOP_SLOT=self.moments + self.first_hop + h,
            )
            self.real(row, HOP_TIME=p.hop_time[h])

    def _parts(self) -> None:
        p = self.plant
        for q in range(p.part_lot.size):
            row = self.parts + q * r.PART_WIDE
            steps = set(p.use[p.use[:, 2] == q, 1])
            at, end = self.m.list(self.benches + b * r.BENCH_WIDE for b, i in enumerate(p.bench_step) if i in steps)
            self.set(
                row,
                PART_LEAD=self.stream(p.part_lead[q]),
                PART_BENCHES=at,
                PART_BENCHES_END=end,
                PART_INDEX=q,
                PART_SLOT=self.moments + self.first_part + q,
            )
            self.real(
                row,
                PART_STOCK=p.part_stock[q],
                POSITION=p.part_stock[q],
                PART_LOT=p.part_lot[q],
                ORDER_AT=p.part_order_at[q],
            )

    def _changes(self) -> None:
        p = self.plant
        for k, (kind, index, by) in enumerate(p.change):
            row = self.changes + k * r.CHANGE_WIDE
            of = self.crews + index * r.CREW_WIDE if kind else self.stations + index * r.STATION_WIDE
            self.set(row, CHANGE_KIND=kind, CHANGE_ROW=of, CHANGE_BY=by)
            self.real(row, CHANGE_AT=p.change_at[k])

    def _caps(self) -> None:
        p = self.plant
        for i in range(p.step_place.size):
            ended, ended_end = self.m.list(self.step(begin) for begin, until in p.cap if until == i)
            over, over_end = self.m.list(
                word
                for n, (begin, until) in enumerate(p.cap)
                if p.cap_covers[n, i]
                for word in (self.step(begin), p.step_place[until])
            )
            self.set(self.step(i), CAPS_ENDED=ended, CAPS_ENDED_END=ended_end, CAPS_OVER=over, CAPS_OVER_END=over_end)

    # --- what lies there --------------------------------------------------------------------------------------------

    def _stock(self) -> None:
        """Finished units, and the pieces before each step: of all products in turn; where a step has several benches, at each its share."""
        p, words = self.plant, self.m.words
        for n in range(p.mix.size):
            words[self.product(n) + r.FINISHED] = int(p.stock_finished[n])
        everything = int(p.stock_finished.sum())
        words[self.store + r.LYING] = words[self.store + r.PEAK] = everything
        words[int(words[self.store + r.INPUT_ROWS]) + r.HERE] = everything
        piles = [
            (i, k, in_turn(p.stock_before[i, k]))
            for i in range(p.step_place.size)
            for k in range(int(p.step_inputs[i]))
        ]
        self.pieces = np.zeros((sum(pile.size for _, _, pile in piles), r.PIECE_WIDE), np.int64)
        first, turn = len(words), 0
        for i, k, pile in piles:
            self._pile(i, k, pile, first, turn)
            turn += pile.size
        self.set(0, PIECES=first, IN_USE=turn, TURN=turn)

    def _pile(self, i: int, k: int, pile: NDArray[np.int64], first: int, turn: int) -> None:
        """Lay out the pieces of one pile, of these products, behind those that lie already."""
        if not pile.size:
            return
        p, words = self.plant, self.m.words
        giver = p.giver[pile, i, k]
        rows, turns = self.pieces[turn : turn + pile.size], turn + 1 + np.arange(pile.size)
        rows[:, r.PRODUCT], rows[:, r.CAME], rows[:, r.VIA] = self.products + pile * r.PRODUCT_WIDE, turns, k
        rows[:, r.REACHED] = np.where(giver == NEVER, r.NOWHERE, p.step_place[giver])
        begin, end = p.step_bench[i]
        # The golden section spreads the pieces over the benches as evenly as their shares ask.
        bench = np.minimum(begin + np.searchsorted(p.bench_share[begin:end], turns * 0.6180339887498949 % 1.0), end - 1)
        within = k * p.mix.size + (0 if p.input_alike[i, k] else pile) if p.step_joins[i] else 0
        queues = np.array(
            [words[self.benches + b * r.BENCH_WIDE + r.QUEUES] for b in range(p.bench_step.size)], np.int64
        )
        queue = queues[bench] + within * r.QUEUE_WIDE
        at = first + (turn + np.arange(pile.size)) * r.PIECE_WIDE
        for one in np.unique(queue):
            mine = np.flatnonzero(queue == one)
            rows[mine[:-1], r.NEXT] = at[mine[1:]]
            words[one + r.HEAD], words[one + r.TAIL], words[one + r.LONG] = (
                int(at[mine[0]]),
                int(at[mine[-1]]),
                mine.size,
            )
        words[int(words[self.step(i) + r.INPUT_ROWS]) + k * r.INPUT_WIDE + r.HERE] += pile.size
        for place in (self.step(i), r.WHOLE):
            words[place + r.LYING] += pile.size
            words[place + r.PEAK] += pile.size


def in_turn(stock: NDArray[np.int64]) -> NDArray[np.int64]:
    """Pieces of several products one after another, each as often and as evenly as there are of it.

    >>> in_turn(np.array([1, 3])).tolist()
    [1, 0, 1, 1]
    """
    products = np.repeat(np.arange(stock.size), stock)
    places = np.concatenate([(np.arange(many) + 0.5) / many for many in stock if many] or [np.zeros(0)])
    return products[np.lexsort((products, places))]

"""From a line to what the event kernel runs: every field that bears on what happens, in arrays; what it does not run yet, by name."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from pullwright.flow.assumed import AssumedKey
from pullwright.flow.counting import counted_now
from pullwright.flow.demand import order_cv2
from pullwright.flow.givens import Givens, Path
from pullwright.flow.ladder import move_time
from pullwright.flow.losses import losses_of
from pullwright.forecast.events.rows import BY_CLOCK, BY_RUNNING, CAPPED, CARDED, FREE, ORDERED, PLENTY, PUSHED
from pullwright.forecast.luck.shapes import EVEN, Shape, shape_of
from pullwright.forecast.luck.streams import key_of
from pullwright.forecast.plant import NEVER, Plant
from pullwright.line import Line
from pullwright.line.model import Element, Step
from pullwright.line.quantity import Quantity

_RELEASE = {"push": PUSHED, "cards": CARDED, "cap": CAPPED, "order": ORDERED}
_CV: dict[str, AssumedKey] = {"manual": "manual cv", "machine": "machine cv", "walking": "walking cv"}


class CannotRun(ValueError):  # noqa: N818  (says what happened)
    """The line has something that the forecast cannot run; the message names it, and says what to do."""


@dataclass(frozen=True)
class Layout:
    """A plant with the names behind its indices, and what of the line it leaves out.

    `steps`, `stations`, `products`, `crews`: names by index; steps stand as in the file. `day`: working seconds of an average day.
    `left_out`: one sentence for each thing in the file that the run does not follow.
    """

    plant: Plant
    steps: tuple[str, ...]
    stations: tuple[str, ...]
    products: tuple[str, ...]
    crews: tuple[str, ...]
    day: float
    left_out: tuple[str, ...]


def layout_of(line: Line, *, givens: Givens | None = None, draw: int | None = None) -> Layout:
    """What does the event kernel run for this line?

    Parameters: `givens`, the line's numbers as figures, where they were made already; `draw`, which of their equally likely
    draws is taken for true (None: the values themselves).
    Errors: CannotRun, naming the field, where something cannot be run as it stands.
    """
    return _Laying(line, givens or Givens(line), draw).layout()


@dataclass
class _Laying:
    line: Line
    givens: Givens
    which: int | None
    shapes: list[Shape] = field(default_factory=list)
    keys: list[np.uint64] = field(default_factory=list)

    # --- numbers ----------------------------------------------------------------------------------------------------

    def value(self, path: Path, quantity: Quantity | None = None) -> float:
        return self._of(self.givens.figure(path, quantity))

    def _of(self, figure: object) -> float:
        if self.which is None:
            return float(figure.value)  # type: ignore[attr-defined]
        draws = figure.draws  # type: ignore[attr-defined]
        return float(draws[self.which % draws.size])

    def whole(self, path: Path, quantity: Quantity) -> int:
        """A number of pieces that has to be whole."""
        found = self.value(path, quantity)
        if found != round(found):
            raise CannotRun(f"{self.givens.name(path)} is {found:g}; pieces are run whole: write a whole number")
        return round(found)

    def stream(self, shape: Shape, *purpose: str) -> int:
        self.shapes.append(shape)
        self.keys.append(key_of(*purpose))
        return len(self.shapes) - 1

    def luck(self, *purpose: str) -> int:
        return self.stream(Shape(EVEN, 0.5), *purpose)

    def time(self, path: Path, quantity: Quantity, otherwise: AssumedKey, *purpose: str) -> int:
        """The stream of a time that varies as the file says, or as is taken where it says nothing."""
        mean, cv = self.value(path, quantity), self._of(self.givens.cv(path, quantity, otherwise))
        readings: Sequence[float] = quantity.readings
        if quantity.study is not None:
            study = next(one for one in self.line.studies if one.name == quantity.study)
            readings = [one.value.value for one in study.readings]
        family = quantity.distribution or ("constant" if cv == 0 else "lognormal")
        try:
            return self.stream(shape_of(family, mean, cv, readings), *purpose)
        except ValueError as error:
            raise CannotRun(f"{self.givens.name(path)}: {error}") from error

    # --- names ------------------------------------------------------------------------------------------------------

    @cached_property
    def step_index(self) -> dict[str, int]:
        return {step.name: i for i, step in enumerate(self.line.steps)}

    @cached_property
    def station_index(self) -> dict[str, int]:
        return {station.name: s for s, station in enumerate(self.line.stations)}

    @cached_property
    def product_names(self) -> tuple[str, ...]:
        return tuple(product.name for product in self.line.products)

    @cached_property
    def through(self) -> list[frozenset[int]]:
        """Steps that each product goes through."""
        return [self.line.route.visits(name) for name in self.product_names]

    # --- the way through --------------------------------------------------------------------------------------------

    def layout(self) -> Layout:
        line = self.line
        products, steps = len(line.products), len(line.steps)
        takes = [line.route.takes_for(name) for name in self.product_names]
        inputs = [sorted({one.step for p in range(products) for one in takes[p][i]}) for i in range(steps)]
        most = max(1, *(len(one) for one in inputs))
        need = np.zeros((products, steps, most), np.int64)
        giver = np.full((products, steps, most), NEVER)
        next_step, next_input = np.full((products, steps), NEVER), np.zeros((products, steps), np.int64)
        for p in range(products):
            for i in sorted(self.through[p]):
                for one in takes[p][i]:
                    quantity = 1
                    if one.quantity is not None:
                        quantity = self.whole(("steps", i, "after", one.place or 0, "quantity"), one.quantity)
                    k = inputs[i].index(one.step)
                    need[p, i, k], giver[p, i, k] = quantity, one.step
                    next_step[p, one.step], next_input[p, one.step] = i, k
        joins = np.array([int(len(inputs[i]) > 1 or need[:, i, :].max() > 1) for i in range(steps)])
        place = np.empty(steps, np.int64)
        for n, i in enumerate(line.route.order):
            place[i] = n
        first, in_place = self._jobs(need, giver, next_step)
        plant = Plant(
            **self._benches(place, joins, np.array([max(1, len(one)) for one in inputs])),
            **self._steps(next_step),
            **self._elements(),
            **self._caps(),
            **self._machines(),
            **self._ways(next_step, next_input),
            **self._starts(inputs, most, next_step, first),
            step_place=place,
            step_joins=joins,
            step_inputs=np.array([max(1, len(one)) for one in inputs]),
            input_alike=self._alike(inputs, most),
            need=need,
            giver=giver,
            next_step=next_step,
            next_input=next_input,
            first=first,
            in_place=in_place,
            **self._demand(),
            **self._streams(),
        )
        return Layout(
            plant, tuple(self.step_index), tuple(self.station_index), self.product_names,
            tuple(crew.name for crew in line.people), self._of(self.givens.day_seconds()), tuple(self._left_out()),
        )  # fmt: skip

    def _alike(self, inputs: list[list[int]], most: int) -> np.ndarray:
        """Inputs from sub-flows in which nothing hangs on the product; the first one that a step takes is always for a product."""
        found = np.zeros((len(inputs), most), np.int64)
        for i, givers in enumerate(inputs):
            main = {takes[i][0].step for takes in map(self.line.route.takes_for, self.product_names) if takes[i]}
            for k, giver in enumerate(givers):
                way = [step for j, step in enumerate(self.line.steps) if self.line.route.comes_before(j, giver)]
                found[i, k] = giver not in main and not any(
                    step.for_ is not None or any(one.for_ is not None for one in step.elements) or (step.set_up and step.set_up.pairs)
                    for step in way
                )  # fmt: skip
        return found

    def _jobs(self, need: np.ndarray, giver: np.ndarray, next_step: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Jobs at each first step for a unit, and in place of a piece scrapped at a step; NEVER marks the steps on its way."""
        products, steps, _ = need.shape
        first = np.zeros((products, steps), np.int64)
        in_place = np.zeros((products, steps, steps), np.int64)
        for p in range(products):
            for i in self.line.route.order:
                if i not in self.through[p]:
                    continue
                givers = [k for k in range(need.shape[2]) if need[p, i, k] > 0]
                if not givers:
                    in_place[p, i, i] = 1
                for k in givers:
                    before = in_place[p, giver[p, i, k]]
                    in_place[p, i] += np.where(before > 0, before * need[p, i, k], 0)
                    in_place[p, i][before == NEVER] = NEVER
                    if giver[p, i, k] not in np.flatnonzero(in_place[p, i] > 0):
                        in_place[p, i, giver[p, i, k]] = NEVER
                if givers:
                    in_place[p, i, i] = NEVER
            last = next(i for i in self.through[p] if next_step[p, i] == NEVER)
            first[p] = np.maximum(in_place[p, last], 0)
        return first, in_place

    def _benches(self, place: np.ndarray, joins: np.ndarray, inputs: np.ndarray) -> dict[str, np.ndarray]:
        rows: list[tuple[int, int, float, float]] = []
        span = np.zeros((len(self.line.steps), 2), np.int64)
        for i in sorted(range(len(self.line.steps)), key=lambda i: -place[i]):
            step = self.line.steps[i]
            others = [(self.station_index[one.station], self.value(("steps", i, "also_at", k, "share")),
                       1.0 if one.times is None else self.value(("steps", i, "also_at", k, "times"))) for k, one in enumerate(step.also_at)]  # fmt: skip
            own = 1.0 - sum(share for _, share, _ in others)
            reached = 0.0
            span[i, 0] = len(rows)
            for station, share, factor in [(self.station_index[step.station], own, 1.0), *others]:
                reached += share
                rows.append((i, station, factor, reached))
            span[i, 1] = len(rows)
        queue, queues = [], 0
        for i, *_ in rows:
            queue.append(queues)
            queues += inputs[i] * len(self.line.products) if joins[i] else 1
        at: list[list[int]] = [[] for _ in self.line.stations]
        for b, (_, station, _, _) in enumerate(rows):
            at[station].append(b)
        ends = np.cumsum([0, *(len(one) for one in at)])
        return {
            "bench_step": np.array([row[0] for row in rows]),
            "bench_station": np.array([row[1] for row in rows]),
            "bench_factor": np.array([row[2] for row in rows]),
            "bench_share": np.array([row[3] for row in rows]),
            "bench_queue": np.array(queue),
            "step_bench": span,
            "station_bench": np.stack([ends[:-1], ends[1:]], axis=1),
            "bench_at": np.array([b for one in at for b in one], np.int64),
        }

    # --- steps ------------------------------------------------------------------------------------------------------

    def _steps(self, next_step: np.ndarray) -> dict[str, np.ndarray]:
        rows: dict[str, list[float]] = {name: [] for name in _STEP_COLUMNS}
        can = np.zeros((len(self.line.steps), max(1, len(self.line.people))), np.int64)
        pairs: list[tuple[int, int, int, int]] = []
        for i, step in enumerate(self.line.steps):
            row = self._step(i, step)
            for name in _STEP_COLUMNS:
                rows[name].append(row[name])
            wanted = max(row["step_people"], row["step_set_up_people"], row["step_again_people"])
            for c, crew in enumerate(self.line.people):
                able = crew.skills is None or step.name in crew.skills or step.station in crew.skills
                can[i, c] = int(able)
            largest = max((crew.number for c, crew in enumerate(self.line.people) if can[i, c]), default=0)
            if self.line.people and wanted > largest:
                raise CannotRun(
                    f"{step.name} needs {wanted:g} people at once, and no crew that can do it has so many; "
                    "give a crew the skill, or more people"
                )
            if step.set_up is not None and step.lot is not None:
                for k, pair in enumerate(step.set_up.pairs):
                    path: Path = ("steps", i, "set_up", "pairs", k, "time")
                    stream = self.time(path, pair.time, "set-up cv", "set-up", step.name, pair.from_, pair.to)
                    pairs.append((i, self.product_names.index(pair.from_), self.product_names.index(pair.to), stream))
        columns = {
            name: np.array(column, float if name in _FLOAT_COLUMNS else np.int64) for name, column in rows.items()
        }
        if not self.line.people:
            for name in ("step_people", "step_set_up_people", "step_again_people"):
                columns[name][:] = 0
        return {
            **columns,
            "crew_can": can,
            "crew_number": np.array([crew.number for crew in self.line.people] or [0]),
            "pairs": np.array(pairs, np.int64).reshape(-1, 4),
            "step_capacity": self._capacities(),
            "finished_capacity": np.array([self._finished_capacity()]),
        }

    def _step(self, i: int, step: Step) -> dict[str, float]:
        path: Path = ("steps", i)
        losses = losses_of(self.givens, i)
        scrap, again = (0.0 if one is None else self._of(one) for one in (losses.scrap, losses.rework))
        row: dict[str, float] = {
            "step_transfer": max(
                step.transfer_lot or step.lot or 1,
                *(move.batch for move in self.line.moves if move.from_ == step.name), 1,
            ),
            "step_lot": step.lot or 0 if step.set_up is not None else 0,
            "step_people": step.people,
            "step_set_up": NEVER,
            "step_set_up_people": 0,
            "step_scrap": scrap,
            "step_again": again,
            "step_again_to": NEVER,
            "step_again_time": NEVER,
            "step_again_people": 0,
            "step_luck": NEVER,
            "step_where": self.luck("where", step.name) if step.also_at else NEVER,
            "step_release": FREE if step.release is None else _RELEASE[step.release.by],
            "step_per_card": 1,
            "step_tick": 0.0,
        }  # fmt: skip
        if step.set_up is not None and step.lot:
            row["step_set_up"] = self.time(
                (*path, "set_up", "time"), step.set_up.time, "set-up cv", "set-up", step.name
            )
            row["step_set_up_people"] = step.set_up.people
        if scrap + again > 0:
            row["step_luck"] = self.luck("luck", step.name)
        if again > 0:
            row["step_again_people"] = step.people
        if step.rework is not None:
            if step.rework.to is not None:
                row["step_again_to"] = self.step_index[step.rework.to]
            row["step_again_people"] = step.rework.people if step.rework.time is not None else step.people
            if step.rework.time is not None:
                row["step_again_time"] = self.time(
                    (*path, "rework", "time"), step.rework.time, "manual cv", "again", step.name
                )
        if step.release is not None:
            row["step_per_card"] = step.release.per_card or 1
            if step.release.by == "push":
                row["step_tick"] = self._tick(i, step)
        return row

    def _tick(self, i: int, step: Step) -> float:
        """Seconds between two pieces that the schedule starts: as many as are pulled where no rate is given."""
        assert step.release is not None
        day = self._of(self.givens.day_seconds())
        if step.release.rate is not None:
            rate = self._of(self.givens.per_day(("steps", i, "release", "rate")))
        else:
            rate = sum(self._per_day(p) for p in range(len(self.product_names)) if i in self.through[p])
        if rate <= 0:
            raise CannotRun(f"the schedule of {step.name} starts {rate:g} pieces a day; give it a rate above 0")
        return day / rate

    def _per_day(self, p: int) -> float:
        return self._of(self.givens.per_day(("products", p, "demand")))

    def _capacities(self) -> np.ndarray:
        found = np.full(len(self.line.steps), PLENTY)
        for s, store in enumerate(self.line.stores):
            if store.before is None or store.capacity is None or store.overflow is not None:
                continue
            capacity = self.whole(("stores", s, "capacity"), store.capacity)
            if self._counted(s) <= capacity:
                found[self.step_index[store.before]] = capacity
        return found

    def _finished_capacity(self) -> int:
        rooms = [
            self.whole(("stores", s, "capacity"), store.capacity)
            for s, store in enumerate(self.line.stores)
            if store.after is not None and store.capacity is not None and store.overflow is None
            and self._counted(s) <= store.capacity.value
        ]  # fmt: skip
        return rooms[0] if len(rooms) == 1 else PLENTY

    def _counted(self, s: int) -> int:
        held = counted_now(self.givens, s)
        return 0 if held is None else round(self._of(held))

    # --- work -------------------------------------------------------------------------------------------------------

    def _elements(self) -> dict[str, np.ndarray]:
        products, steps = len(self.product_names), len(self.line.steps)
        span = np.full((products, steps, 2), NEVER)
        streams: list[int] = []
        attended: list[float] = []
        for i, step in enumerate(self.line.steps):
            made: dict[tuple[int, str], int] = {}
            groups: dict[tuple[int, ...], tuple[int, int]] = {}
            for p, name in enumerate(self.product_names):
                if i not in self.through[p]:
                    continue
                chosen = tuple(k for k, one in enumerate(step.elements) if one.for_ is None or name in one.for_)
                if chosen not in groups:
                    begin = len(streams)
                    parts: list[tuple[int, Path, Step | Element]] = [
                        (k, ("steps", i, "elements", k), step.elements[k]) for k in chosen
                    ] or [(NEVER, ("steps", i), step)]
                    for k, path, part in parts:
                        for way in ("manual", "machine", "walking"):
                            quantity: Quantity | None = getattr(part, way)
                            if quantity is None:
                                continue
                            if (k, way) not in made:
                                what = part.what if isinstance(part, Element) else ""
                                made[k, way] = self.time(
                                    (*path, way), quantity, _CV[way], "time", step.name, what, str(k), way
                                )
                            streams.append(made[k, way])
                            attended.append(self._attended(i, step, path, part, way))
                    groups[chosen] = (begin, len(streams))
                span[p, i] = groups[chosen]
        return {
            "element": span,
            "element_stream": np.array(streams, np.int64),
            "element_attended": np.array(attended, float),
        }

    def _attended(self, i: int, step: Step, path: Path, part: Step | Element, way: str) -> float:
        if step.people == 0:
            return 0.0
        if way != "machine":
            return 1.0
        if part.watched is not None:
            return self.value((*path, "watched"))
        return 0.0 if step.watched is None else self.value(("steps", i, "watched"))

    def _caps(self) -> dict[str, np.ndarray]:
        rows, covers = [], []
        for i, step in enumerate(self.line.steps):
            if step.release is not None and step.release.by == "cap":
                until = i if step.release.until is None else self.step_index[step.release.until]
                rows.append((i, until))
                before = self.line.route.comes_before
                covers.append([int(before(i, j) and before(j, until)) for j in range(len(self.line.steps))])
        return {
            "cap": np.array(rows, np.int64).reshape(-1, 2),
            "cap_covers": np.array(covers, np.int64).reshape(-1, len(self.line.steps)),
        }

    # --- machines ---------------------------------------------------------------------------------------------------

    def _machines(self) -> dict[str, np.ndarray]:
        station: list[int] = []
        between: list[int] = []
        repair: list[int] = []
        counted: list[int] = []
        span: list[tuple[int, int]] = []
        for s, one in enumerate(self.line.stations):
            begin = len(station)
            for m in range(one.machines):
                station.append(s)
                if one.breakdowns is None:
                    between.append(NEVER)
                    repair.append(NEVER)
                    counted.append(0)
                    continue
                path: Path = ("stations", s, "breakdowns")
                mean = self.value((*path, "between"))
                if mean <= 0:
                    raise CannotRun(f"{one.name} breaks down every {mean:g} s; give a time above 0")
                between.append(self.stream(shape_of("exponential", mean, 1.0), "between", one.name, str(m)))
                repair.append(
                    self.time((*path, "repair"), one.breakdowns.repair, "repair cv", "repair", one.name, str(m))
                )
                counted.append(BY_CLOCK if one.breakdowns.counted_by == "clock" else BY_RUNNING)
            span.append((begin, len(station)))
        return {
            "machine_station": np.array(station),
            "machine_between": np.array(between),
            "machine_repair": np.array(repair),
            "machine_counted": np.array(counted),
            "station_machine": np.array(span),
        }

    def _ways(self, next_step: np.ndarray, next_input: np.ndarray) -> dict[str, np.ndarray]:
        products, steps = next_step.shape
        hop = np.full((products, steps), NEVER)
        times: list[float] = []
        ends: list[int] = []
        inputs: list[int] = []
        for m, move in enumerate(self.line.moves):
            i = self.step_index.get(move.from_)
            if i is None:
                continue
            to = NEVER if move.to == "shipping" else self.step_index[move.to]
            seconds = self._of(move_time(self.givens, m))
            mine = [p for p in range(products) if i in self.through[p] and next_step[p, i] == to]
            if not mine or seconds <= 0:
                continue
            hop[mine, i] = len(times)
            times.append(seconds)
            ends.append(to)
            inputs.append(next_input[mine[0], i])
        rooms: list[set[int]] = [set() for _ in range(steps + 1)]
        for p in range(products):
            for i in self.through[p]:
                rooms[steps if next_step[p, i] == NEVER else next_step[p, i]].add(i)
        marks = np.cumsum([0, *(len(one) for one in rooms)])
        return {
            "hop": hop,
            "hop_time": np.array(times, float),
            "hop_end": np.array(ends, np.int64),
            "hop_input": np.array(inputs, np.int64),
            "feeders": np.stack([marks[:-1], marks[1:]], axis=1),
            "feeder_of": np.array([i for one in rooms for i in sorted(one)], np.int64),
        }

    # --- what lies there, and what is pulled ------------------------------------------------------------------------

    def _mix(self) -> np.ndarray:
        rates = np.array([self._per_day(p) for p in range(len(self.product_names))])
        total = rates.sum()
        return np.full(rates.size, 1 / rates.size) if total <= 0 else rates / total

    def _parted(self, pieces: int, products: Sequence[int]) -> np.ndarray:
        """So many pieces parted among products as they are pulled, the largest rests first."""
        mix = np.zeros(len(self.product_names))
        mix[list(products)] = self._mix()[list(products)]
        mix = (
            mix / mix.sum()
            if mix.sum() > 0
            else np.where(np.isin(np.arange(mix.size), products), 1 / len(products), 0.0)
        )
        exact = mix * pieces
        found = np.floor(exact).astype(np.int64)
        for p in np.argsort(-(exact - found), kind="stable")[: pieces - found.sum()]:
            found[p] += 1
        return found

    def _starts(
        self, inputs: list[list[int]], most: int, next_step: np.ndarray, first: np.ndarray
    ) -> dict[str, np.ndarray]:
        steps, products = len(self.line.steps), len(self.product_names)
        before = np.zeros((steps, most, products), np.int64)
        finished = np.zeros(products, np.int64)
        for s, store in enumerate(self.line.stores):
            pieces = self._counted(s)
            if store.before is not None:
                i = self.step_index[store.before]
                for k, giver in enumerate(inputs[i]):
                    mine = [p for p in range(products) if i in self.through[p] and next_step[p, giver] == i]
                    if mine:
                        before[i, k] = self._parted(pieces, mine)
            elif store.after is not None:
                i = self.step_index[store.after]
                mine = [p for p in range(products) if i in self.through[p] and next_step[p, i] == NEVER]
                if mine:
                    finished += self._parted(pieces, mine)
        permits = np.full(steps, PLENTY)
        jobs = np.zeros(steps, np.int64)
        for i, step in enumerate(self.line.steps):
            if step.release is None:
                continue
            by = step.release.by
            begins = first[:, i].max() > 0
            behind = sum(before[j, k].sum() for j in range(steps) for k, giver in enumerate(inputs[j]) if giver == i)
            behind += finished.sum() if (next_step[:, i] == NEVER).any() else 0
            if by == "cards":
                free = (step.release.cards or 0) * (step.release.per_card or 1) - int(behind)
                if begins:
                    jobs[i] = max(free, 0)
                else:
                    permits[i] = free
            elif by == "cap":
                permits[i] = self._below_cap(i, step, before, inputs)
            elif not begins:
                permits[i] = 0
        return {
            "stock_before": before,
            "stock_finished": finished,
            "step_permits": permits,
            "step_jobs": jobs,
        }

    def _below_cap(self, i: int, step: Step, before: np.ndarray, inputs: list[list[int]]) -> int:
        assert step.release is not None
        until = i if step.release.until is None else self.step_index[step.release.until]
        comes = self.line.route.comes_before
        inside = [j for j in range(len(self.line.steps)) if comes(i, j) and comes(j, until)]
        lot = max(self.line.steps[j].transfer_lot or self.line.steps[j].lot or 1 for j in inside)
        limit = step.release.limit or 1
        if any(j != until for j in inside) and lot > limit:
            raise CannotRun(
                f"the cap of {step.name} lets {limit} pieces in, and a lot of {lot} is handed on within it: nothing would ever "
                "come out; raise the cap, or hand on fewer at a time"
            )
        lying = sum(int(before[j, k].sum()) for j in inside for k, giver in enumerate(inputs[j]) if giver in inside)
        return limit - lying

    def _demand(self) -> dict[str, np.ndarray]:
        day = self._of(self.givens.day_seconds())
        streams = []
        for p, product in enumerate(self.line.products):
            rate = self._per_day(p)
            if rate <= 0:
                streams.append(NEVER)
                continue
            spread = math.sqrt(max(self._of(order_cv2(self.givens, p)), 0.0))
            shape = shape_of("exponential" if spread == 1.0 else "gamma", day / rate, spread)
            streams.append(self.stream(shape, "order", product.name))
        return {"order_stream": np.array(streams), "mix": self._mix()}

    def _streams(self) -> dict[str, np.ndarray]:
        lengths = [len(shape.readings) for shape in self.shapes]
        begins = np.cumsum([0, *lengths])[:-1]
        return {
            "stream_kind": np.array([shape.kind for shape in self.shapes], np.int64),
            "stream_numbers": np.array(
                [(shape.mean, shape.a, shape.b, shape.c) for shape in self.shapes], float
            ).reshape(-1, 4),
            "stream_readings": np.stack([begins, lengths], axis=1).astype(np.int64),
            "readings": np.array([one for shape in self.shapes for one in shape.readings], float),
            "stream_key": np.array(self.keys, np.uint64),
        }

    def _left_out(self) -> list[str]:
        line = self.line
        said = []
        if any(part.delivery_lot is not None or part.lead_time is not None for part in line.parts):
            said.append("Parts are taken to be there whenever they are needed: deliveries are not run.")
        if any(one.shifts is not None for one in line.stations) or any(one.shifts is not None for one in line.people):
            said.append("Stations and crews with shifts of their own are run in all shifts.")
        if line.pressure is not None:
            said.append("People are run at the same pace and care however much lies before them.")
        if any(store.overflow is not None for store in line.stores):
            said.append("Carrying to and from an overflow place takes no time.")
        if line.moves:
            said.append("Carrying takes time but keeps nobody of a crew from other work.")
        if any(
            store.part is None and store.capacity is not None and self._counted(s) > store.capacity.value
            for s, store in enumerate(line.stores)
        ):
            said.append("Where more was counted than fits, a full place stops nobody: it did not when it was counted.")
        return said


_FLOAT_COLUMNS = frozenset({"step_scrap", "step_again", "step_tick"})
_STEP_COLUMNS = (
    "step_transfer", "step_lot", "step_people", "step_set_up", "step_set_up_people", "step_scrap", "step_again", "step_again_to",
    "step_again_time", "step_again_people", "step_luck", "step_where", "step_release", "step_per_card", "step_tick",
)  # fmt: skip

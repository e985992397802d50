"""What will happen: a line run many times, and its answers, each with its luck, its ignorance and its why."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from math import sqrt

from pullwright.figure import N_DRAWS, Figure, Source, parts
from pullwright.flow import flow_of
from pullwright.flow.givens import Givens, LikelyGivens
from pullwright.forecast.answers.interval import LEVEL, Floats, checked_level
from pullwright.forecast.answers.runs_needed import runs_needed
from pullwright.forecast.answers.warm_up import WarmUp
from pullwright.forecast.layout import Layout, layout_of
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.outcome import Outcome, cut, outcome_of
from pullwright.forecast.pictures import Bands, bands_in, curves_in
from pullwright.forecast.plan import MOST_RUNS, checked, days_for, fit, orders_a_day
from pullwright.forecast.promised import terms_of
from pullwright.forecast.running import Running
from pullwright.forecast.seen import Seen, Terms, book_of, joined
from pullwright.forecast.settling import Growing, growing_in, warm_up_of
from pullwright.forecast.shut import shut_sentence
from pullwright.forecast.told import Told, headlines, told_by
from pullwright.forecast.when_asked import WhenAsked
from pullwright.line import Line
from pullwright.line.faults import likely_slip
from pullwright.watch.sample.clusters import t_quantile

HALF_WIDTH = 0.05
"""How well the headlines are to be known where nobody says: throughput and stock to 5 %, promises kept to 5 points."""
PILOT, USUALLY_AT_MOST = 20, 200
"""Runs that say how much runs differ, and the most that are then run where nobody says how many."""
DRAWS, RUNS_A_DRAW = 40, 2
"""Draws of what is not known of the inputs, and runs with each: the fewest that tell luck from ignorance, so that there are many draws."""
_SETTLING_RUNS, _FEWEST_SETTLING_DAYS, _MOST_SETTLING_DAYS = 10, 100, 1600


class UnknownOutcome(KeyError):  # noqa: N818  (says what happened)
    """There is no answer of that name; the message names near ones."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Forecast:
    """The answers of one forecast.

    `outcomes`: by name, in the order in which they are read: "throughput", "lead time", "lead time, 95 %", "response time", "on time", "promise
    kept at 95 %", "stock in the line", "finished stock", "stock before STEP" (each also ", 95 %" over time and ", peak"), "orders waiting", "floor
    of what lies", "occupied / STATION" and the nine rows of its time, "scrap", "scrap / STEP", "made / STEP"; what is told product by product has
    " / PRODUCT" behind it where there are several.
    `long_run`: the warm-up is cut off; otherwise the days begin today, with what was counted. `days`: working days that count, after `warm` that do not.
    `warm_up`: how long stock and waiting orders remember how they began, found by these runs or, in the long run, by some before them. `growing`: what has no long run.
    `runs` at the likely inputs; `draws` of what is not known, with `runs_a_draw` each (0: not run); `reached`: the headlines are known as
    well as was wished. `kernel`: what ran it. `left_out`: what of the file is not run, `notes`: what could not be answered and why.
    `through_time`: bands by working day (D,); `curves`: of "lead time" and "response time" (and product by product) the working days that 1 %, 2 %,
    ... 99 % do not exceed (99,). `book`: what the runs at the likely inputs wrote down day by day, from the start of each run, for cash and floor.
    """

    line: Line
    long_run: bool
    days: int
    warm: int
    warm_up: WarmUp
    runs: int
    draws: int
    runs_a_draw: int
    seed: int
    level: float
    kernel: str
    half_width: float | None
    reached: bool
    outcomes: Mapping[str, Outcome]
    growing: tuple[Growing, ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]
    through_time: Mapping[str, Bands] = field(repr=False)
    curves: Mapping[str, Floats] = field(repr=False)
    book: DayBook = field(repr=False)

    def __getitem__(self, name: str) -> Outcome:
        """The answer of this name. Errors: UnknownOutcome, with a name that is near."""
        found = self.outcomes.get(name)
        if found is None:
            hint = likely_slip(name, list(self.outcomes))
            raise UnknownOutcome(f"the forecast has no {name!r}" + (f": {hint}" if hint else f"; it has {len(self.outcomes)}, such as throughput"))  # fmt: skip
        return found

    def figures(self) -> dict[str, Figure]:
        """All answers as figures, by name: each says why."""
        return {name: one.figure for name, one in self.outcomes.items()}

    @property
    def settles(self) -> bool:
        """Is there a long run?"""
        return not self.growing and self.warm_up.settled

    @property
    def keeps_up(self) -> bool:
        """Do the orders that wait not go on growing?"""
        return not any(one.name.startswith("orders waiting") for one in self.growing)

    def sentence(self) -> str:
        """What was found, as a foreman would say it."""
        when = (
            "In the long run"
            if self.long_run
            else f"In the coming {self.days} working day{'s' if self.days > 1 else ''}"
        )
        made, kept = self["throughput"], self.outcomes.get("on time")
        said = f"{when} this line ships {_said(made, 'a day')}"
        if kept is not None:
            said += f" and keeps {_said(kept, '% of its promises')}"
        return f"{said}{'' if self.keeps_up else '; orders that wait go on growing'}."

    @property
    def made_by(self) -> str:
        """What stands behind the numbers: "200 runs of 40 working days from today, seed 0, path kernel"."""
        return _made_by(self.runs, self.days, self.warm, self.long_run, self.seed, self.kernel)


def forecast_of(
    line: Line,
    *,
    days: int | None = None,
    runs: int | None = None,
    draws: int | None = None,
    seed: int = 0,
    workers: int | None = None,
    half_width: float | None = None,
    long_run: bool = False,
    level: float = LEVEL,
    like: Forecast | None = None,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Forecast:
    """What will this line do: how much, how soon, how reliably, with what stock and floor; on good days and on bad ones; and how sure is that?

    Parameters: `days`, working days that count (None: twice the lead time of the flow, three times in the long run, within a month and a year).
    `long_run`: cut off the warm-up, as long as it is found to be; otherwise the line starts from what was counted, as it stands today, which is what
    the coming days, cash and floor ask for. `runs` at the likely inputs (None: as many as the half-width asks for, 200 at the most).
    `half_width`: how well throughput, stock in the line (as a share of them) and promises kept (in points) are to be known; with `runs` too, no
    more than those are run. `draws` of what is not known of the inputs, each run twice (None: 40, or none where the line is certain;
    0: none). `seed` chooses the luck; `workers`, threads, change nothing but the time it takes. `like`: take days, warm-up, numbers of runs
    and draws, seed and level of another forecast, to be compared with it. `stop` is asked whether to give up; `progress(done, whole)` is told of runs.
    Result: see `Forecast` and `Outcome`. A line that cannot keep up is run for what it is, and said to be growing.
    Errors: ValueError for numbers that are out of bounds; CannotRun where the line cannot be run or nobody orders; TooMuch where runs would not fit
    into memory; Stopped.

    >>> line = Line.read("examples/first_line.yaml")
    >>> found = forecast_of(line, days=20, runs=10, draws=0)
    >>> round(found["throughput"].value), found.made_by
    (41, '10 runs of 20 working days from today, seed 0, event kernel (glue has scrap or rework)')
    """
    ask = _asked(days, runs, draws, seed, workers, half_width, long_run, level, like)
    # Who runs only the likely inputs needs no draws of them until somebody asks why; otherwise what is made for the runs is kept apart.
    likely = LikelyGivens(line) if ask.draws == 0 else None
    givens, flow = likely or Givens(line), flow_of(line, likely)
    layout, terms = layout_of(line, givens=givens, flow=flow if likely else None), terms_of(flow, givens)
    orders_a_day(layout)
    if ask.draws is None:
        unsure = any(not one.certain and not one.inputs for one in givens.made())
        many_draws = DRAWS if unsure else 0
    else:
        many_draws = ask.draws
    counted = ask.days or days_for(flow, long_run=ask.long_run)
    fit(layout, ask.runs, counted)
    running = Running(ask.seed, ask.workers, stop, progress, ask.runs + RUNS_A_DRAW * many_draws)

    warm, warm_up = ask.warm, None
    if ask.long_run and like is None:
        warm_up = _settling(running, layout, terms, counted)
        warm = min(warm_up.cut, warm_up.of // 2)
    whole = warm + counted
    seen = running.run(
        layout,
        terms,
        range(min(PILOT, ask.runs) if ask.half_width else ask.runs),
        warm=warm,
        days=whole,
        at_most=ask.runs,
    )
    if ask.half_width:
        while (needed := _needed(seen, ask.half_width, ask.runs, ask.level)) > seen.runs:
            seen = joined(
                seen, running.run(layout, terms, range(seen.runs, needed), warm=warm, days=whole, at_most=ask.runs)
            )
        running.whole -= ask.runs - seen.runs
    by_draw: dict[str, list[Told]] = {}
    for k in range(many_draws):
        numbers = range(MOST_RUNS + RUNS_A_DRAW * k, MOST_RUNS + RUNS_A_DRAW * (k + 1))
        laid, meant = layout_of(line, givens=givens, draw=k), terms_of(flow, givens, k)
        for told in told_by(running.run(laid, meant, numbers, warm=warm, days=whole)):
            by_draw.setdefault(told.name, []).append(told)
    warm_up = warm_up or warm_up_of(seen)
    return _answers(line, ask, seen, by_draw, many_draws, warm_up, running.kernel, _Rests(line, givens, many_draws))


def quick_forecast_of(line: Line, *, days: int | None = None, runs: int | None = None, seed: int = 0, like: Forecast | None = None, workers: int | None = None,
                      stop: Callable[[], bool] | None = None) -> Forecast:  # fmt: skip
    """What if? The same answers from few runs at the likely inputs, for a screen that is waiting.

    Parameters: as `forecast_of` takes them; `runs` (None: 20, or as many as `like` has, a forecast that it is to be compared with).
    """
    if runs is None and like is None:
        runs = PILOT
    return forecast_of(line, days=days, runs=runs, draws=0, seed=seed, workers=workers, like=like, stop=stop)


@dataclass(frozen=True)
class _Ask:
    """What was asked for, checked."""

    days: int | None
    runs: int
    draws: int | None
    seed: int
    workers: int
    half_width: float | None
    long_run: bool
    level: float
    warm: int = 0
    like_another: bool = False


def _asked(
    days: int | None, runs: int | None, draws: int | None, seed: int, workers: int | None, half_width: float | None, long_run: bool, level: float,
    like: Forecast | None,
) -> _Ask:  # fmt: skip
    threads = checked("workers", workers, 1, 1024, "threads") if workers is not None else os.cpu_count() or 1
    many = None if runs is None else checked("runs", runs, 1, MOST_RUNS - 1, "runs")
    if draws == 1:
        raise ValueError(
            "draws of 1 was read; one draw cannot tell what is not known from luck: write 0 for none, or 2 and more"
        )
    drawn = None if draws is None else checked("draws", draws, 0, N_DRAWS, "draws, not 1,")
    if like is not None:
        return _Ask(
            like.days, like.runs if many is None else many, like.draws if drawn is None else drawn, like.seed, threads, None,
            like.long_run, like.level, like.warm, like_another=True,
        )  # fmt: skip
    if half_width is not None and not 0 < half_width < 1:
        raise ValueError(f"a half-width of {half_width:g} was read; it lies between 0 and 1, such as 0.05 for 5 %")
    return _Ask(
        None if days is None else checked("days", days, 1, 10_000_000, "working days"),
        USUALLY_AT_MOST if many is None else many,
        drawn,
        checked("seed", seed, 0, 2**63 - 1, "seeds"),
        threads,
        HALF_WIDTH if half_width is None and runs is None else half_width,
        long_run,
        checked_level(level),
    )


def _settling(running: Running, layout: Layout, terms: Terms, counted: int) -> WarmUp:
    """How long is the warm-up? Runs twice as long where it does not show, as long as that is bearable."""
    days = max(2 * counted, _FEWEST_SETTLING_DAYS)
    while True:
        running.whole += _SETTLING_RUNS
        seen = running.run(layout, terms, range(_SETTLING_RUNS), warm=0, days=days)
        found = warm_up_of(seen)
        if found.settled or growing_in(seen) or 2 * days > _MOST_SETTLING_DAYS:
            return found
        days *= 2


def _needed(seen: Seen, half_width: float, most: int, level: float) -> int:
    """How many runs do the headlines ask for, as the runs so far tell it?"""
    if seen.runs < 2 or seen.runs >= most:
        return seen.runs
    needed = seen.runs
    for told, wished in _wishes(seen, half_width, level):
        deviation = told.interval(level).half_width * sqrt(seen.runs) / t_quantile(seen.runs - 1, level)
        needed = max(needed, runs_needed(deviation, wished, pilot=seen.runs, most=most, level=level).runs)
    return needed


def _wishes(seen: Seen, half_width: float, level: float) -> Iterator[tuple[Told, float]]:
    """The headlines with the half-width that each of them is to have: points of a share, a share of anything else."""
    for told in headlines(seen):
        value = told.interval(level).value
        wished = half_width if told.share else half_width * abs(value)
        if wished > 0:
            yield told, wished


def _answers(
    line: Line,
    ask: _Ask,
    seen: Seen,
    by_draw: Mapping[str, list[Told]],
    draws: int,
    warm_up: WarmUp,
    kernel: str,
    rests: _Rests,
) -> Forecast:
    made_by = _made_by(seen.runs, seen.counted, seen.warm, ask.long_run, ask.seed, kernel)
    source = Source("computed", made_by)
    every = {told.name: told for told in told_by(seen)}
    said = {name: told for name, told in every.items() if not told.silent}
    silent = [name for name in every if name not in said]

    def outcome(name: str) -> Outcome:
        told, each = said[name], by_draw.get(name, [])
        found = outcome_of(
            told, each if len(each) == draws else [], level=ask.level, source=source, inputs=partial(rests.on, told.about),
            note=f"its spread is that of {draws} draws of what is not known of the inputs, {RUNS_A_DRAW} runs with each" if each else "",
        )  # fmt: skip
        assert found is not None  # silent ones are not said
        return found

    growing = growing_in(seen)
    reached = ask.half_width is None or all(
        told.interval(ask.level).half_width <= wished for told, wished in _wishes(seen, ask.half_width, ask.level)
    )
    return Forecast(
        line, ask.long_run, seen.counted, seen.warm, warm_up, seen.runs, draws, RUNS_A_DRAW if draws else 0, ask.seed, ask.level, kernel,
        ask.half_width, reached, WhenAsked(said, outcome), growing, seen.layout.left_out, tuple(_notes(ask, seen, warm_up, growing, reached, silent)),
        bands_in(seen, ask.level), curves_in(seen), book_of(seen),
    )  # fmt: skip


@dataclass
class _Rests:
    """What the answers rest on: made when somebody asks why."""

    line: Line
    givens: Givens
    draws: int
    _on: dict[str, tuple[Figure, ...]] = field(default_factory=dict)

    @cached_property
    def made(self) -> tuple[Figure, ...]:
        """The given figures that the runs asked for, with all that is not known of them."""
        if isinstance(self.givens, LikelyGivens):
            givens = Givens(self.line)
            layout_of(self.line, givens=givens)
            terms_of(flow_of(self.line), givens)
            self.givens = givens
        # One object for one quantity, in all answers.
        return tuple(cut(one, self.draws) for one in self.givens.made() if not one.inputs)

    def on(self, about: str) -> tuple[Figure, ...]:
        """What customers pull, what is not known, and what an answer `about` something is held against."""
        if about not in self._on:
            self._on[about] = tuple(
                one
                for one in self.made
                if not one.certain or "demand" in one.name.split(" / ") or (about and about in one.name)
            )
        return self._on[about]


def _said(one: Outcome, words: str) -> str:
    """Value and interval, with words in place of the unit."""
    read = parts(one.value, one.low, one.high, one.unit)
    return f"{read.value} {words} ({read.interval})" if read.interval else f"{read.value} {words}"


def _made_by(runs: int, days: int, warm: int, long_run: bool, seed: int, kernel: str) -> str:
    start = f"after {warm} of warm-up" if long_run else "from today"
    return f"{runs} run{'s' if runs > 1 else ''} of {days} working day{'s' if days > 1 else ''} {start}, seed {seed}, {kernel}"


def _notes(
    ask: _Ask, seen: Seen, warm_up: WarmUp, growing: tuple[Growing, ...], reached: bool, silent: list[str]
) -> Iterator[str]:
    if shut := shut_sentence(seen):
        yield shut
    yield from (one.sentence for one in growing)
    if ask.long_run and growing:
        yield "A line in which something grows without end has no long run: the numbers hang on the days that were run."
    elif ask.long_run and ask.like_another and warm_up.cut > seen.warm:
        yield (
            f"This line needs about {warm_up.cut} working days to settle, and only {seen.warm} were left out, as of the one that it is compared "
            "with: forecast this one first, and the other one like it."
        )
    elif ask.long_run and not ask.like_another and not warm_up.settled:
        yield f"After {warm_up.of} working days the line had not settled: the numbers still remember today's stock."
    if ask.half_width and not reached:
        yield f"{seen.runs} runs do not make the headlines as sure as was wished ({100 * ask.half_width:g} %): run more."
    if not ask.long_run:
        begun, ended = seen.one_of * sum(one.size for one in seen.leads(None)), int(seen.finished.sum())
        if ended > begun:
            yield (
                f"{100 * (ended - begun) / ended:.0f} % of the units ended lay in the line at the start: how long they had been there nobody knows, "
                "so that lead times are those of the others, which were the quick ones."
            )
    for p, within in enumerate(seen.terms.within):
        if within >= seen.counted:
            yield f"{seen.layout.products[p]} is promised in {within:g} working days: too few days are run to see whether that is kept."
    loose = [words for words, kind, k in seen.terms.unbedded if seen.pieces(kind, k).any()]
    if loose:
        yield f"What lies {', '.join(loose)} takes no floor here: in what containers it lies is not given."
    if silent:
        yield f"Nothing came to an end that could answer: {', '.join(silent[:5])}{' and more' if len(silent) > 5 else ''}."

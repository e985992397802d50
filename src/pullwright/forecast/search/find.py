"""From a line and a few words to an answer: the way in for the terminal and for pages."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import blake2b

from pullwright.forecast.search.answer import Answer, Wording, answer_of
from pullwright.forecast.search.asked import read_asked
from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.knob import Knob, check_place
from pullwright.forecast.search.knob_text import write_knob
from pullwright.forecast.search.line_work import Column, LineWork
from pullwright.forecast.search.measures import MEASURES, Measure
from pullwright.forecast.search.problem import Problem
from pullwright.forecast.search.promises import Promise, check_promises, promises_of, read_promise
from pullwright.forecast.search.rising import reasons_against
from pullwright.forecast.search.searching import Progress, Search
from pullwright.forecast.search.spreading import Hands, Stop, Threads
from pullwright.forecast.search.trial import Setting, Threshold
from pullwright.line import Line
from pullwright.version import __version__


@dataclass(frozen=True)
class Hunt:
    """A search of a line, with the words for its answer."""

    search: Search
    wording: Wording
    work: LineWork
    left_out: tuple[str, ...]
    """What of the line the runs do not follow; found at the start, so that an answer comes at once when somebody stops."""

    def answer(self) -> Answer:
        """What is known by now."""
        book = self.search.book
        binds = ""
        if self.search.done and self.search.found is None and book.nearest is not None:
            binds = self.work.busiest(book.nearest.setting)
        return answer_of(self.search, self.wording, binds, self.left_out)


def hunt_of(
    line: Line,
    text: str,
    promises: Sequence[Promise | str] = (),
    *,
    days: int = 80,
    warm_days: int = 20,
    seed: int = 0,
    confidence: float = 0.95,
    most_runs: int = 2_000,
    close: float | None = None,
    rising: bool | None = None,
    workers: int = 1,
    hands: Hands | None = None,
    measures: Mapping[str, Measure] = MEASURES,
) -> Hunt:
    """The search that a person asks for in words, not begun yet: to be taken step by step, stopped, put down and resumed.

    Parameters: see `find`. Errors: CannotSearch.
    """
    goal, knobs = read_asked(text, line, measures)
    for knob in knobs:
        check_place(line, knob.kind, knob.where)
    kept = _promises(line, promises) or goal.promises or promises_of(line)
    check_promises(line, kept, measures)
    _check_days(days, warm_days, kept)
    cost = measures[goal.measure] if goal.measure else None
    against = reasons_against(line, knobs, kept)
    products = {one.name: p for p, one in enumerate(line.products)}
    columns = [Column(measures[one.measure], products.get(one.of), one.within) for one in kept]
    work = LineWork(line, knobs, (*columns, *([Column(cost)] if cost else [])), warm_days, days, seed)
    rises = (not against) if rising is None else rising

    def settled(setting: Setting) -> float:
        return goal.cost(knobs, setting)

    asked: dict[str, object] = {
        "goal": goal.words,
        "knobs": [write_knob(knob) for knob in knobs],
        "measured": [[one.measure, one.of, one.within] for one in kept],
        "days": [warm_days, days],
        "seed": seed,
        "package": __version__,
        "line": blake2b(repr(line).encode(), digest_size=16).hexdigest(),
    }
    try:
        problem = Problem(
            axes=tuple(knob.values for knob in knobs),
            thresholds=tuple(
                Threshold(one.value, one.give, measures[one.measure].at_least, measures[one.measure].share)
                for one in kept
            ),
            cost=None if cost else settled,
            rising=rises and cost is None,
            confidence=confidence,
            most_runs=most_runs,
            close=close if close is not None else 1.0,
            asked=asked,
        )
    except CannotSearch as error:
        many = _many(knobs)
        if against and rising is None and cost is None and many > 1:
            raise CannotSearch(
                f"{error}. Every one would have to be tried, because more may do worse here: {'; '.join(against)}"
            ) from None
        raise
    wording = Wording(
        goal.words,
        line.currency if goal.unit == "money" else goal.unit,
        goal.smaller,
        knobs,
        tuple(kept),
        dict(measures),
        cost,
        against if rises else (),
    )
    return Hunt(Search(problem, work, hands or Threads(workers)), wording, work, work.left_out())


def find(
    line: Line,
    text: str,
    promises: Sequence[Promise | str] = (),
    *,
    days: int = 80,
    warm_days: int = 20,
    seed: int = 0,
    confidence: float = 0.95,
    most_runs: int = 2_000,
    close: float | None = None,
    rising: bool | None = None,
    workers: int = 1,
    hands: Hands | None = None,
    measures: Mapping[str, Measure] = MEASURES,
    stop: Stop = lambda: False,
    progress: Callable[[Progress], None] | None = None,
) -> Answer:
    """Which is the smallest setting of this line that keeps its promises, and how sure is that?

    Parameters: `text`, what is to be found (`fewest cards of weld base 1..12`; see `asked`); `promises`, as such or in words, otherwise those of the line
    file; `days` of a run, of which the first `warm_days` are not counted (working days); `seed` of the luck, which is the same for every
    setting; `confidence` of the whole answer; `most_runs` of one setting; `close`, how much of a cost that is measured in runs does not matter
    (in its unit; 1 where nothing is said); `rising`, whether more never does worse (None: as `reasons_against` finds); `workers`, threads, or `hands`,
    somebody else who runs (`Pool`, `on_dask`); `measures`, where there are more than those of the table; `stop`, asked every twentieth of a
    second; `progress`, told after every batch of runs.
    Returns the answer, of what was found by then where it was stopped. Errors: CannotSearch, saying what was read, what is allowed, what to do.
    """
    hunt = hunt_of(
        line, text, promises, days=days, warm_days=warm_days, seed=seed, confidence=confidence, most_runs=most_runs, close=close,
        rising=rising, workers=workers, hands=hands, measures=measures,
    )  # fmt: skip
    hunt.search.run(stop=stop, progress=progress)
    return hunt.answer()


def _promises(line: Line, promises: Sequence[Promise | str]) -> tuple[Promise, ...]:
    given = [promises] if isinstance(promises, str) else promises
    return tuple(one for each in given for one in ((each,) if isinstance(each, Promise) else read_promise(each, line)))


def _check_days(days: int, warm_days: int, promises: Sequence[Promise]) -> None:
    if not 0 <= warm_days < days:
        raise CannotSearch(
            f"runs of {days} days with {warm_days} that are not counted were read; the first has to be larger, the second 0 or more"
        )
    longest = max((one.within or 0.0 for one in promises), default=0.0)
    if days - warm_days - longest < 1:
        raise CannotSearch(
            f"a promise of {longest:.4g} d cannot be seen in the {days - warm_days} days of a run that count: take at least {int(warm_days + longest) + 2} days"
        )


def _many(knobs: Sequence[Knob]) -> int:
    many = 1
    for knob in knobs:
        many *= len(knob.values)
    return many

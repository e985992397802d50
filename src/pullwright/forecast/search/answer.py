"""The answer of a search: what was found, how sure that is, and what was tried."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from math import isfinite
from typing import Any

from pullwright.forecast.search.knob import Knob, shown, value_shown
from pullwright.forecast.search.measures import Measure
from pullwright.forecast.search.promises import Promise, promise_words
from pullwright.forecast.search.searching import Search
from pullwright.forecast.search.trial import Setting, Trial


@dataclass(frozen=True, slots=True)
class Outcome:
    """The mean of one measure over runs, with an interval that holds whenever one looks; for this row alone. `words` with units."""

    name: str
    mean: float
    low: float
    high: float
    words: str


@dataclass(frozen=True, slots=True)
class Tried:
    """One setting that was put to the test: how often it was run, what came of it, the verdict (kept, broken, open, refused), and a note."""

    setting: Setting
    words: str
    cost: float
    runs: int
    outcomes: tuple[Outcome, ...]
    verdict: str
    note: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What a search found.

    `found`: the setting, None where none was shown to keep the promises (so far); `done`: nothing is left to try; `words`: sentences, the first says what was
    found, the second how sure that is; `tried`, cheapest first; `confidence` of the whole; `left_out`, what of the line the runs do not follow.
    """

    found: Tried | None
    done: bool
    words: tuple[str, ...]
    tried: tuple[Tried, ...]
    confidence: float
    left_out: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return {key: _plain(value) for key, value in asdict(self).items()}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return None if isinstance(value, float) and not isfinite(value) else value


@dataclass(frozen=True, slots=True)
class Wording:
    """What the numbers of a search are called."""

    goal: str
    unit: str
    smaller: str
    knobs: tuple[Knob, ...]
    promises: tuple[Promise, ...]
    measures: dict[str, Measure]
    cost: Measure | None
    supposed: tuple[str, ...] = ()
    """Why it is not sure that more never does worse, where that was taken for granted all the same."""


def answer_of(search: Search, wording: Wording, binds: str = "", left_out: tuple[str, ...] = ()) -> Answer:
    """Say what a search found; `binds`: what keeps the best that can be had from being better, where nothing keeps the promises."""
    problem, book = search.problem, search.book
    tried = {
        one.setting: _tried(search, wording, one)
        for one in sorted(
            book.trials.values(), key=lambda one: (book.cost_of(one) if one.rows else float("inf"), one.setting)
        )
    }
    best = search.found if search.done else (book.best.setting if book.best else None)
    found = None if best is None else tried[best]
    confidence = f"{100 * problem.confidence:.10g} %"
    kept = "; ".join(_with_zone(one, wording) for one in wording.promises)
    if not search.done:
        words = _so_far(search, wording, found)
    elif found is not None:
        words = [
            f"{wording.goal.capitalize()}: {_cost(wording, found)} ({found.words}).",
            f"With {confidence} confidence it keeps what is promised ({kept}), and {_nothing_better(search, wording)}.",
        ]
    else:
        words = _nothing(search, wording, tried, confidence, kept, binds)
    if problem.rising:
        taken = f", which is taken for granted though {'; '.join(wording.supposed)}" if wording.supposed else ""
        words.append(f"This rests on it that more never does worse{taken}.")
    words += _doubts(search, wording, tried)
    return Answer(found, search.done, tuple(words), tuple(tried.values()), problem.confidence, left_out)


def _tried(search: Search, wording: Wording, trial: Trial) -> Tried:
    problem = search.problem
    measures = [wording.measures[one.measure] for one in wording.promises]
    names = [f"{one.measure}{f' of {one.of}' if one.of else ''}" for one in wording.promises]
    if wording.cost is not None:
        measures, names = [*measures, wording.cost], [*names, "cost"]
    outcomes: list[Outcome] = []
    if trial.rows:
        ends = trial.intervals(1 - problem.confidence, [one.share for one in measures])
        for name, measure, mean, (low, high) in zip(names, measures, trial.means(), ends, strict=True):
            told = (
                f"{measure.shown(mean)} ({measure.shown(low)} to {measure.shown(high)})"
                if isfinite(high - low)
                else f"about {measure.shown(mean)}"
            )
            outcomes.append(Outcome(name, mean, low, high, told))
    cost = search.book.cost_of(trial) if trial.rows or problem.cost is not None else float("nan")
    return Tried(
        trial.setting,
        shown(wording.knobs, trial.setting),
        cost,
        trial.runs,
        tuple(outcomes),
        trial.verdict or "under test",
        trial.refusal,
    )


def _cost(wording: Wording, one: Tried) -> str:
    if wording.cost is not None:
        return wording.cost.shown(one.cost)
    return f"{value_shown(wording.unit, one.cost)} {wording.unit.removesuffix('s') if one.cost == 1 else wording.unit}"


def _with_zone(one: Promise, wording: Wording) -> str:
    measure = wording.measures[one.measure]
    points = 100 * one.give
    give = f"{points:.4g} point{'' if points == 1 else 's'}" if measure.share else measure.shown(one.give)
    return f"{promise_words(one, wording.measures)}, give or take {give}"


def _nothing_better(search: Search, wording: Wording) -> str:
    but = ", but for what could not be told" if _not_told(search) else ""
    if wording.cost is not None:
        close = wording.cost.shown(search.problem.close)
        return f"nothing else that was asked for and keeps it is better by more than {close} on average{but}"
    assert search.found is not None
    if search.book.cost_of(search.book.trials[search.found]) <= min(search.problem.costs):
        return "nothing smaller was asked for"
    return f"no {wording.smaller} that was asked for keeps it{but}"


def _not_told(search: Search) -> list[Setting]:
    """Settings that might be better, but were not told apart from one that keeps the promises within the runs that were allowed."""
    book = search.book
    best = None if search.found is None or search.problem.cost is None else book.cost_of(book.trials[search.found])
    open_ = [one for one in book.trials.values() if one.verdict == "open"]
    return [one.setting for one in open_ if best is None or book.cost_of(one) < best]


def _so_far(search: Search, wording: Wording, found: Tried | None) -> list[str]:
    so_far = search.progress()
    ran = f"Stopped after {so_far.runs:,} runs of {so_far.tried:,} settings"
    if found is None:
        return [
            f"{ran}: nothing was shown to keep the promises so far.",
            "That says nothing yet about what was not tried.",
        ]
    left = f"{so_far.left:,} setting{'' if so_far.left == 1 else 's'} may still be better"
    return [f"{ran}. Best so far: {_cost(wording, found)} ({found.words}).", f"It keeps the promises; {left}."]


def _nothing(
    search: Search, wording: Wording, tried: dict[Setting, Tried], confidence: str, kept: str, binds: str
) -> list[str]:
    nearest = search.book.nearest
    if nearest is None:
        return ["Nothing that was asked for can be run.", next((one.note for one in tried.values()), "")]
    margins = nearest.margins()
    worst = wording.promises[margins.index(min(margins))]
    had = "; ".join(f"{one.name} {one.words}" for one in tried[nearest.setting].outcomes)
    sure = all(one.verdict == "broken" for one in search.book.trials.values())
    many = len(search.problem.settings)
    return [
        f"Nothing that was asked for was shown to keep what is promised. Best that can be had: {tried[nearest.setting].words} ({had}).",
        f"With {confidence} confidence none of the {many:,} settings keeps it ({kept})."
        if sure
        else f"Not all of the {many:,} settings were told apart from one that keeps it.",
        f"What binds: {promise_words(worst, wording.measures)}" + (f"; {binds}." if binds else "."),
    ]


def _doubts(search: Search, wording: Wording, tried: dict[Setting, Tried]) -> list[str]:
    """What could not be told, and what was measured short of a proof."""
    words = []
    if open_ := [tried[one].words for one in _not_told(search)]:
        smaller = "with all that is smaller " if search.problem.rising else ""
        words.append(
            f"Not told within {search.problem.most_runs:,} runs, and taken {smaller}for not keeping it: {_some(open_)}."
        )
    if refused := [f"{one.words}: {one.note}" for one in tried.values() if one.verdict == "refused"]:
        words.append(f"Cannot be run: {_some(refused)}.")
    averages = [one.measure for one in wording.promises if not wording.measures[one.measure].share]
    if averages or wording.cost is not None:
        named = ", ".join(dict.fromkeys([*averages, *(["cost"] if wording.cost is not None else [])]))
        words.append(f"The confidence takes averages of runs for normally spread: {named}.")
    return words


def _some(texts: Sequence[str]) -> str:
    return "; ".join(texts[:5]) + (f"; and {len(texts) - 5} more" if len(texts) > 5 else "")

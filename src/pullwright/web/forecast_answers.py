"""The answers of a forecast as a page shows them: today, the option, the difference and a word, each with its why."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from urllib.parse import quote

from pullwright.figure import Figure, parts
from pullwright.figure.as_plain import finite
from pullwright.forecast.compared import Difference
from pullwright.forecast.money import difference_of
from pullwright.forecast.outcome import Outcome
from pullwright.forecast.said import ASKED, GROWS, out_of_place, verdict
from pullwright.web.foreseen import Beside, Foreseen
from pullwright.web.inked import inked
from pullwright.web.pieces import Piece, Shown
from pullwright.web.way import LONGEST_IN_ADDRESS, Way, digest_of

MINUS = "\u2212"
DRY, CROWDED = "runs dry", "more than the floor"
TOO_LIKELY = 0.05
"""A chance above it is out of place."""


class AnswerRow(Piece):
    """One answer: its words and question, today, the option and the difference, a `verdict` on it, and a word where it is out of place."""

    words: str
    question: str = ""
    today: Shown | None
    option: Shown | None = None
    difference: Shown | None = None
    verdict: str = ""
    look: str = ""


class AnswerTable(Piece):
    """Answers under a caption; `compared` where there is an option."""

    caption: str
    compared: bool
    rows: tuple[AnswerRow, ...]


@dataclass(frozen=True, slots=True)
class ForecastWay(Way):
    """The way to the figures of a forecast: of the line "today", `of` an "option" with these settings, or of the "sure" one of both.

    `page`: where they answer.
    """

    query: str = ""
    of: str = "today"
    page: str = "forecast/why"

    def why(self, figure: str) -> str:
        """The address at which a figure of the forecast answers why."""
        name = quote(figure, safe="")
        asked = f"figure={name}" if len(name) <= LONGEST_IN_ADDRESS // 2 else f"digest={digest_of(figure)}"
        more = "".join(f"&{part}" for part in ("" if self.of == "today" else f"of={self.of}", self.query) if part)
        return f"{self.base}/{self.page}?{asked}{more}"


@dataclass(frozen=True)
class Answering:
    """Turns the outcomes of a forecast, and of one beside it, into rows."""

    beside: Beside
    way: ForecastWay

    @property
    def currency(self) -> str:
        """What money is counted in."""
        return self.beside.today.forecast.line.currency

    @property
    def here(self) -> Foreseen:
        """What the page is about: the option, or today."""
        return self.beside.option or self.beside.today

    def ways(self) -> tuple[ForecastWay, ForecastWay]:
        """The ways to the figures of today and of the option."""
        return self.way, replace(self.way, of="option")

    def headline(self) -> AnswerTable:
        """What is read first."""
        return self._table("How the coming days turn out", tuple(self._asked()))

    def money(self) -> AnswerTable | None:
        """Cash and floor; None where the line file has neither."""
        rows = tuple(self._money())
        return self._table("Cash and floor", rows) if rows else None

    def more(self) -> tuple[AnswerTable, ...]:
        """Product by product, place by place, station by station."""
        first = self.here.forecast.outcomes
        read = {one.name for one in ASKED}
        products = tuple(name for name in first if " / " in name and name.split(" / ")[0].split(",")[0] in _BY_PRODUCT)
        places = tuple(
            name
            for name in first
            if name.startswith(("stock before", "stock in", "finished stock")) and name not in read
        )
        waits = tuple(
            name
            for name in first
            if name.startswith(("lead time,", "response time,", "orders waiting,", "floor of what lies"))
            and " / " not in name
            and name not in read
        )
        steps = tuple(name for name in first if name.startswith(("made / ", "scrap / ")))
        stations = tuple(name for name in first if name.startswith("occupied / "))
        told = (
            ("Times, orders and floor, on good days and bad ones", waits),
            ("Product by product", products),
            ("Stock place by place", places),
            ("Step by step", steps),
            ("How much of its time each station is occupied", stations),
        )
        return tuple(
            self._table(caption, tuple(self._row(name, name) for name in names)) for caption, names in told if names
        )

    def _table(self, caption: str, rows: tuple[AnswerRow, ...]) -> AnswerTable:
        return AnswerTable(caption=caption, compared=self.beside.option is not None, rows=rows)

    def _asked(self) -> Iterator[AnswerRow]:
        for one in ASKED:
            if one.name in self.beside.today.forecast.outcomes or one.name in self.here.forecast.outcomes:
                yield self._row(one.name, one.words, one.question)

    def _row(self, name: str, words: str, question: str = "") -> AnswerRow:
        beside, (way, option_way) = self.beside, self.ways()
        looks_today, looks = out_of_place(beside.today.forecast), out_of_place(self.here.forecast)
        today, option, both = beside.today.forecast.outcomes.get(name), None, None
        if beside.option is not None and beside.compared is not None:
            option, both = beside.option.forecast.outcomes.get(name), beside.compared.differences.get(name)
        return AnswerRow(
            words=words,
            question=question,
            today=None if today is None else self._outcome(today, way, looks_today if option is not None else {}),
            option=None if option is None else self._outcome(option, option_way, {}),
            difference=None if both is None else self._difference(both),
            verdict="" if both is None else _verdict(both, looks_today.get(name), looks.get(name)),
            look=looks.get(name, ""),
        )

    def _outcome(self, outcome: Outcome, way: ForecastWay, looks: Mapping[str, str]) -> Shown:
        return outcome_shown(outcome, way.why(outcome.name), self.currency, looks.get(outcome.name, ""))

    def _difference(self, both: Difference) -> Shown:
        return difference_shown(both.difference, self.way.why(both.difference.name), self.currency)

    def _money(self) -> Iterator[AnswerRow]:
        today, option = self.beside.today, self.beside.option
        way, option_way = self.ways()
        for words, question, found in (
            ("lowest cash", "the median of the runs", _low),
            ("chance to run dry", "a day below nothing within these days", _dry),
            ("cash that is enough", "at the start, in 95 of 100 runs", _capital),
            ("most floor taken", "stations, places and what lies, on average over the runs", _peak),
            ("chance of too little floor", "on one day or more", _over),
        ):
            one, other = found(today), None if option is None else found(option)
            if one is None and other is None:
                continue
            here = one if option is None else other
            yield AnswerRow(
                words=words,
                question=question,
                today=None if one is None else inked(one, why=way.why(one.name), currency=self.currency),
                option=None if other is None else inked(other, why=option_way.why(other.name), currency=self.currency),
                difference=self._money_difference(words),
                verdict=self._money_verdict(words),
                look=_looks(words, here),
            )

    def _money_difference(self, words: str) -> Shown | None:
        made = money_differences(self.beside).get(words)
        if made is None:
            return None
        shown = inked(made, why=self.way.why(made.name), currency=self.currency)
        return shown.model_copy(
            update={"number": _signed(shown.number, made.value), "interval": shown.interval.replace("-", MINUS)}
        )

    def _money_verdict(self, words: str) -> str:
        made = money_differences(self.beside).get(words)
        if made is None:
            return ""
        low, high = made.interval()
        if low == high == 0:
            return "the same"
        if low <= 0 <= high:
            return "cannot be told apart"
        return "better" if (made.value > 0) is (words == "lowest cash") else "worse"


def _verdict(both: Difference, today: str | None, option: str | None) -> str:
    """What grows without end is never better, however little of it these days have seen."""
    if option == GROWS:
        return "grows in both" if today == GROWS else "worse"
    return verdict(both)


_BY_PRODUCT = frozenset(
    ("throughput", "lead time", "response time", "on time", "promise kept at 95 %", "orders waiting")
)


def _looks(words: str, figure: Figure | None) -> str:
    if figure is None or figure.value <= TOO_LIKELY:
        return ""
    return {"chance to run dry": DRY, "chance of too little floor": CROWDED}.get(words, "")


def _low(one: Foreseen) -> Figure | None:
    return None if one.cash is None else one.cash.forecast.low


def _dry(one: Foreseen) -> Figure | None:
    return None if one.cash is None else one.cash.forecast.dry.figure


def _capital(one: Foreseen) -> Figure | None:
    return None if one.cash is None else one.cash.forecast.capital.figure


def _peak(one: Foreseen) -> Figure | None:
    return one.floor.peak if one.forecast.line.floor is not None else None


def _over(one: Foreseen) -> Figure | None:
    return None if one.floor.over is None else one.floor.over.figure


def money_differences(beside: Beside) -> dict[str, Figure]:
    """What an option changes in cash and floor, by the words of the row."""
    today, option = beside.today, beside.option
    found: dict[str, Figure] = {}
    if option is None:
        return found
    if today.cash is not None and option.cash is not None:
        found["lowest cash"] = difference_of("lowest cash", today.cash.lows, option.cash.lows, "money")
    if today.forecast.line.floor is not None:
        found["most floor taken"] = difference_of("most floor taken", today.floor_peaks, option.floor_peaks, "m2")
    return found


def _signed(number: str, value: float) -> str:
    return f"+{number}" if value > 0 else number.replace("-", MINUS)


def money_figures(one: Foreseen) -> dict[str, Figure]:
    """The figures of cash and floor, by name."""
    found = (ask(one) for ask in (_low, _dry, _capital, _peak, _over))
    return {figure.name: figure for figure in found if figure is not None}


def outcome_shown(outcome: Outcome, why: str, currency: str, look: str = "") -> Shown:
    """An outcome as a page shows it: the number, and in lighter ink between what one stretch of days turns out."""
    read = parts(outcome.value, outcome.low, outcome.high, outcome.unit, currency)
    return Shown(
        name=outcome.name, value=finite(outcome.value), unit=outcome.unit, low=finite(outcome.low), high=finite(outcome.high),
        number=read.value, unit_words=read.unit, interval=read.interval, why=why, look=look,
    )  # fmt: skip


def difference_shown(made: Outcome, why: str, currency: str) -> Shown:
    """A difference: signed, and in lighter ink how well it is known."""
    low, high = (end if math.isfinite(end) else made.value for end in (made.mean_low, made.mean_high))
    read = parts(made.value, low, high, made.unit, currency)
    number = _signed(read.value, made.value)
    unit = "% points" if made.unit == "share" else read.unit
    return Shown(
        name=made.name, value=finite(made.value), unit=made.unit, low=finite(made.mean_low), high=finite(made.mean_high),
        number=number, unit_words=unit, interval=read.interval.replace("-", MINUS), why=why,
    )  # fmt: skip

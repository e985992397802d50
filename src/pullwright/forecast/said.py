"""What a forecast says in words: the answers that people read first, which way is better, what is out of place, and one sentence of all that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pullwright.figure import parts
from pullwright.forecast.compared import Compared, Difference
from pullwright.forecast.forecast import Forecast
from pullwright.forecast.outcome import Outcome

GROWS, NOT_KEPT = "grows without end", "promise not kept"


@dataclass(frozen=True, slots=True)
class Asked:
    """One answer that people read first: the `name` of its outcome, what they call it, the question that it answers; `better`: 1 where more
    is better, -1 where less is, 0 where that hangs on what is wanted."""

    name: str
    words: str
    question: str
    better: int


ASKED: tuple[Asked, ...] = (
    Asked("throughput", "shipped", "units that customers get, a working day", 1),
    Asked("lead time", "lead time", "of a unit, from its first step to the finished store", -1),
    Asked("lead time, 95 %", "lead time of all but a few", "95 of 100 units take no longer", -1),
    Asked("response time", "wait of an order", "from the order to the unit shipped", -1),
    Asked("response time, 95 %", "wait of all but a few", "95 of 100 orders wait no longer", -1),
    Asked("on time", "promises kept", "orders shipped within what was promised", 1),
    Asked("promise kept at 95 %", "what could be promised", "95 of 100 orders would be shipped within it", -1),
    Asked("orders waiting", "orders waiting", "at the end of a working day", -1),
    Asked("stock in the line", "stock in the line", "pieces begun and not finished", -1),
    Asked("finished stock", "finished stock", "units that wait for an order", 0),
    Asked("floor of what lies, 95 %", "floor of what lies", "enough on 95 of 100 days", -1),
    Asked("scrap", "scrap", "pieces thrown away, a working day", -1),
)
"""In the order in which they are read. One table for screens, commands and prints."""
FEWEST = 3
"""Parts of a sentence that are said of an option."""


_CLAUSES = (
    ("throughput", "ships {} a day"), ("lead time", "takes {} for a unit"), ("on time", "keeps {} of its promises"), ("orders waiting", "lets {} orders wait"),
)  # fmt: skip


def better_of(name: str) -> int:
    """Which way is better for an outcome of this name: 1 more, -1 less, 0 neither. What is told product by product is judged as the whole is."""
    whole = name.split(" / ")[0]
    found = next((one for one in ASKED if one.name == whole or whole.startswith(f"{one.name}, ")), None)
    if found is not None:
        return found.better
    return -1 if whole.startswith("stock before ") else 0


def verdict(difference: Difference) -> str:
    """Is the option better, worse, or can it not be told apart from today?

    "more" and "less" where that is neither better nor worse; "the same" where no run differs.
    """
    made = difference.difference
    if made.value == 0 and made.mean_low == made.mean_high == 0:
        return "the same"
    if not difference.sure:
        return "cannot be told apart"
    better = better_of(difference.name)
    if better == 0:
        return "more" if made.value > 0 else "less"
    return "better" if made.value * better > 0 else "worse"


def out_of_place(forecast: Forecast) -> Mapping[str, str]:
    """What is out of place, by the name of its outcome: what grows without end, and promises that are kept less often than the line file wishes."""
    found = {one.name: GROWS for one in forecast.growing}
    products = forecast.line.products
    for product in products:
        name = f"on time / {product.name}" if len(products) > 1 else "on time"
        told = forecast.outcomes.get(name)
        if told is not None and product.on_time is not None and told.mean_high < product.on_time.value:
            found[name] = NOT_KEPT
            found["on time"] = NOT_KEPT
    if any(name.startswith("orders waiting") for name in found):
        found.setdefault("orders waiting", GROWS)
    if any(name.startswith("stock before") for name in found):
        found.setdefault("stock in the line", GROWS)
    return found


def sentence_of(forecast: Forecast) -> str:
    """What will the line do, as a foreman would say it, how long does a unit take, and what is out of place?"""
    lead = forecast.outcomes.get("lead time")
    takes = f" A unit takes {_short(lead, forecast.line.currency)}." if lead is not None else ""
    return f"{forecast.sentence()}{takes}{''.join(f' {one}' for one in _troubles(forecast))}"


def in_short(forecast: Forecast) -> str:
    """What will the line do, in few words: "ships 26.5 a day, takes 21.8 d for a unit, keeps 94 % of its promises"."""
    told = ((forecast.outcomes.get(name), words) for name, words in _CLAUSES)
    said = [words.format(_bare(one, forecast.line.currency)) for one, words in told if one is not None]
    return ", ".join(said[:FEWEST])


def sentence_of_option(compared: Compared, words: str) -> str:
    """What does an option change, as a foreman would say it? `words`: what it is called, such as "cards of weld base 4 instead of 6"."""
    currency = compared.today.line.currency
    said = [clause for name, words_of in _CLAUSES if (clause := _clause(compared, name, words_of, currency))]
    troubles = "".join(f" {one}" for one in _troubles(compared.option))
    return f"With {words} the line {_joined(said[:FEWEST])}.{troubles}"


def _clause(compared: Compared, name: str, words: str, currency: str) -> str:
    difference = compared.differences.get(name)
    if difference is None:
        return ""
    now, then = _bare(difference.today, currency), _bare(difference.option, currency)
    word = verdict(difference)
    beside = "as today" if word == "the same" else f"today {now}: {word}"
    return f"{words.format(then)} ({beside})"


def _troubles(forecast: Forecast) -> Iterator[str]:
    if forecast.growing:
        yield forecast.growing[0].sentence
    looks, products = out_of_place(forecast), forecast.line.products
    for product in products:
        name = f"on time / {product.name}" if len(products) > 1 else "on time"
        if looks.get(name) == NOT_KEPT and product.on_time is not None:
            kept = _short(forecast[name], forecast.line.currency)
            yield f"{product.name} keeps {kept} of its promises; {100 * product.on_time.value:.3g} % are wished."
            return


def _short(outcome: Outcome, currency: str) -> str:
    read = parts(outcome.value, outcome.low, outcome.high, outcome.unit, currency)
    return f"{read.value} {read.unit}".strip()


def _bare(outcome: Outcome, currency: str) -> str:
    """Without the pieces, which the words around it name."""
    return _short(outcome, currency).replace(" pieces/d", "").replace(" pieces", "")


def _joined(clauses: list[str]) -> str:
    return clauses[0] if len(clauses) == 1 else f"{', '.join(clauses[:-1])}, and {clauses[-1]}"

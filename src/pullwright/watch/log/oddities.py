"""What is odd in a log: counted, shown with its rows, and left to a person to decide. One table for code, screens and docs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from . import odd_rows, odd_together, odd_window
from .events import Events, Oddity
from .found import Found
from .laid import Laid, is_large
from .looked import Looked

KEEP, ASIDE = "keep", "set aside"
ONE, EACH = "take as one", "keep apart"
SWAP, SPAN, MOMENT, AFTER, CASES, CLOSING = (
    "swap start and end", "work it out from its span", "take the moment alone", "begin when the earlier one is done",
    "set the whole orders aside", "end with the shift",
)  # fmt: skip

CHOICES: dict[str, str] = {
    KEEP: "The rows count as they are.",
    ASIDE: "The rows count in nothing; they stay in the file and in the list of what is set aside.",
    ONE: "The spellings are taken as the commonest one.",
    EACH: "Each spelling stands for itself.",
    SWAP: "Start and end change places.",
    SPAN: "The missing or doubtful end is worked out from how long the file says it took; where it does not say, the row is set aside.",
    MOMENT: "The row is taken as a moment that takes no time.",
    AFTER: "A row begins when the earlier one at its station is done; one that is over by then is set aside.",
    CASES: "All rows of these orders are set aside.",
    CLOSING: "The booking ends when the shop closes for the first time after it began: it was left on.",
}
"""What each choice does, in a sentence."""


@dataclass(frozen=True, slots=True)
class OddKind:
    """One kind of oddity: its key, the question to the person, the choices (the first is done if nobody decides), its search."""

    key: str
    question: str
    choices: tuple[str, ...]
    search: Callable[[Looked], Found | None]


def _spelt(log: Looked) -> Found | None:
    return odd_together.spelling_oddity(log, odd_together.spelt(log))


ODDITIES: tuple[OddKind, ...] = (
    OddKind("duplicates", "Was the same thing booked twice?", (ASIDE, KEEP), odd_rows.duplicates),
    OddKind("nearly duplicates", "Is it a correction of the earlier row?", (KEEP, ASIDE), odd_rows.nearly),
    OddKind("negative span", "Were start and end changed round?", (ASIDE, SWAP), odd_rows.negative),
    OddKind("zero span", "Was it done in no time, or booked afterwards?", (KEEP, ASIDE), odd_rows.zero),
    OddKind("no start", "When did it begin?", (SPAN, MOMENT, ASIDE), odd_rows.no_start),
    OddKind("no end", "When was it done, or is it still going on?", (SPAN, ASIDE), odd_rows.no_end),
    OddKind("no time", "When was it at all?", (ASIDE,), odd_rows.no_time),
    OddKind("span differs", "Which is right: the moments, or the span?", (KEEP, SPAN), odd_rows.span_differs),
    OddKind("far away in time", "Is the year right?", (ASIDE, KEEP), odd_window.far_away),
    OddKind("station in two places", "Several machines, or a booking left on?", (KEEP, AFTER), odd_together.station_overlaps),
    OddKind("person in two places", "Several machines at once, or booked for others?", (KEEP,), odd_together.person_overlaps),
    OddKind("spellings", "Do they mean the same?", (ONE, EACH), _spelt),
    OddKind("more than ordered", "Were more made than asked, or is a quantity wrong?", (KEEP, ASIDE), odd_together.more_than_asked),
    OddKind("more than before", "Where do the extra pieces come from?", (KEEP,), odd_together.more_than_before),
    OddKind("begun before the log", "Was it under way already?", (KEEP, CASES), odd_window.begun_before),
    OddKind("not through", "Is it still under way?", (KEEP, CASES), odd_window.not_through),
    OddKind("outside working time", "Overtime, or a wrong clock?", (KEEP, ASIDE), odd_window.outside),
    OddKind("long", "Worked through, or left on?", (KEEP, CLOSING, ASIDE), odd_rows.long_spans),
    OddKind("days without any", "Closed, or was nothing booked?", (KEEP,), odd_window.empty_days),
    OddKind("midnight", "Is that the time, or only the date?", (KEEP, ASIDE), odd_rows.midnight),
    OddKind("rounded", "Booked from memory?", (KEEP,), odd_rows.rounded),
    OddKind("all at once", "Booked afterwards?", (KEEP,), odd_rows.crowded),
    OddKind("again without a first", "Was the first time not booked?", (KEEP,), odd_together.rework_without_a_first),
    OddKind("says nothing", "Is something missing in the file?", (KEEP,), odd_rows.empty_columns),
)  # fmt: skip
"""All kinds, in the order in which a person goes through them, and in which decisions are carried out."""

BY_KEY: dict[str, OddKind] = {kind.key: kind for kind in ODDITIES}


def possible(kind: OddKind, events: Events) -> tuple[str, ...]:
    """What can be done in this log: without spans nothing is worked out from them."""
    missing = kind.key in ("no start", "no end") and "span" not in events.has
    return tuple(choice for choice in kind.choices if not (missing and choice == SPAN))


def oddities(events: Events, log: Looked | None = None) -> tuple[Oddity, ...]:
    """What is odd in this log? Each with how often, in which rows (the first 1,000), a sentence, and what can be done.

    Parameters: `log`, the events laid out, where they are looked at again afterwards and need not be laid out twice.
    Nothing is changed: see `pullwright.watch.log.decide` for what follows from a decision.
    """
    log = log or Looked(Laid(events))
    found = []
    for kind, one in zip(ODDITIES, _searched(log), strict=True):
        if one is not None and one.many:
            found.append(Oddity(kind.key, one.many, one.rows(log), one.sentence, possible(kind, events)))
    return tuple(found)


def _searched(log: Looked) -> Iterable[Found | None]:
    """What each search finds; several at a time where the log is large."""
    if not is_large(log.laid.size):
        return [kind.search(log) for kind in ODDITIES]
    # What many of them rest on first, so that nobody waits for it or makes it twice.
    _ = log.laid.timed, log.laid.in_time, log.clock
    with ThreadPoolExecutor(2) as pool:
        return list(pool.map(lambda kind: kind.search(log), ODDITIES))

"""What a page offers to look for in a line, what it reads of a form, and what it says of the answer."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pullwright.figure.as_plain import finite
from pullwright.forecast.search.answer import Answer, Tried
from pullwright.forecast.search.find import Hunt
from pullwright.forecast.search.goals import GOALS
from pullwright.forecast.search.knobs_of import Turnable
from pullwright.forecast.search.promises import promise_words, promises_of
from pullwright.line import Line
from pullwright.web.forms import PRESSED, Field, Form
from pullwright.web.hunts import CONFIDENCE, DAYS, Wanted
from pullwright.web.pieces import Piece
from pullwright.web.settings import Settings, Turning, shown, typed

BEGIN, STOP = "begin", "stop"
OWN = "own"
MOST_CHOICES = 200
MOST_DAYS = 2_000
MOST_TEXT = 2_000
VERDICTS = {
    "kept": ("✓", "kept"), "broken": ("✕", "broken"), "open": ("?", "not told apart"), "refused": ("–", "cannot be run"),
    "under test": ("…", "not told yet"),
}  # fmt: skip
"""The mark and the word of each verdict."""


class TriedOutcome(Piece):
    """The mean of what is promised, or of the cost, over the runs of a setting, with its interval (None: without end)."""

    name: str
    mean: float | None
    low: float | None
    high: float | None
    words: str


class TriedRow(Piece):
    """One setting that was tried: its values by knob, its runs, what came of it, and the verdict; `chosen` where it is the answer."""

    words: str
    setting: tuple[float, ...]
    runs: int
    outcomes: tuple[TriedOutcome, ...]
    verdict: str
    mark: str
    said: str
    note: str = ""
    chosen: bool = False


def offered(knobs: Sequence[Turnable]) -> tuple[tuple[str, str], ...]:
    """What may be chosen: the words that a search reads, and what a person reads.

    A goal over all of its places comes first where there are several, and all of them have a limit today.
    """
    found: list[tuple[str, str]] = []
    for goal in GOALS:
        places = [(word, one) for word, kind in goal.turns.items() for one in knobs if one.kind == kind]
        limited = [one for _, one in places if one.today is not None]
        if len(limited) > 1:
            found.append((goal.words, f"{goal.words}, all {len(limited)} places together"))
        for word, one in places:
            text = " ".join(part for part in (goal.words, word, one.where) if part)
            today = "no limit" if one.today is None else shown(one, one.today)
            usual = f"{typed(one, one.low)} to {typed(one, one.high)}" + (
                f" by {typed(one, one.step)}" if one.step != 1 else ""
            )
            found.append((text, f"{text} (today {today}; looks from {usual})"))
    return tuple(found[:MOST_CHOICES])


def promised_in(line: Line) -> str:
    """What the line file promises, in words; empty where it promises nothing."""
    return "; ".join(promise_words(one) for one in promises_of(line))


def form_of(choices: Sequence[tuple[str, str]], promised: str) -> Form:
    """The form in which a search is asked for: what may be chosen, and what the line file promises."""
    return Form(
        "find",
        Field(PRESSED, "What to do", kind="choice", choices=((BEGIN, "Look for it"), (STOP, "Stop"))),
        Field(
            "goal", "What is to be found", kind="choice", required=False, most=400,
            choices=(*choices, (OWN, "something else, in words of my own")),
        ),
        Field(
            "values", "Values to look through", required=False, most=MOST_TEXT,
            hint="Such as 1..12, or 10..50 by 5, or 7, 14, 28. Left empty: those in brackets above.",
        ),
        Field(
            "own", "In words of your own", required=False, most=MOST_TEXT,
            hint="Such as: least stock by lot of a step 14..84 by 14; cards of another step 1..6. Taken in place of the choice above.",
        ),
        Field(
            "promises", "Promises to keep", kind="text", required=False, most=MOST_TEXT,
            hint=(f"Left empty: {promised}, as the line file says (for least cash: at most 5 % of runs run dry)." if promised else "The line file promises nothing yet.")
            + " One a line: on time 95 %, on time of PRODUCT 95 % within 2 d, throughput 40 /d, lead time 3 d, dry 5 %.",
        ),
        Field("confidence", "How sure the answer has to be", most=20, asked_by=BEGIN, hint="From 50 % to below 100 %. Surer takes more runs."),
        Field("days", "Working days of a run", most=20, asked_by=BEGIN, hint=f"From 4 to {MOST_DAYS:,}. The first quarter of them is not counted: the line has to forget how it began."),
    )  # fmt: skip


def start_of(wanted: Wanted | None, choices: Sequence[tuple[str, str]]) -> dict[str, str]:
    """What stands in the form when the page is opened: what was asked for last, or the first choice."""
    if wanted is None:
        return {"goal": choices[0][0] if choices else OWN, "confidence": f"{100 * CONFIDENCE:g} %", "days": f"{DAYS}"}
    goal = max(
        (value for value, _ in choices if wanted.text == value or wanted.text.startswith(f"{value} ")),
        key=len,
        default=OWN,
    )
    rest = wanted.text[len(goal) :].strip() if goal != OWN else ""
    if rest and not rest[0].isdigit() and rest[0] not in "-+":
        goal, rest = OWN, ""
    return {
        "goal": goal, "values": rest, "own": wanted.text if goal == OWN else "", "promises": "\n".join(wanted.promises),
        "confidence": f"{100 * wanted.confidence:.10g} %", "days": f"{wanted.days}",
    }  # fmt: skip


def read_wanted(entries: dict[str, str]) -> tuple[Wanted | None, dict[str, str]]:
    """What a form asks for, or what is wrong with it, by field."""
    errors: dict[str, str] = {}
    own, goal = entries["own"].strip(), entries["goal"].strip()
    text = own or ("" if goal == OWN else f"{goal} {entries['values'].strip()}".strip())
    if not text:
        errors["own"] = "Nothing was typed here and nothing chosen above; say what is to be found."
    confidence = _number(entries["confidence"].strip().removesuffix("%"))
    if confidence is not None and confidence > 1:
        confidence /= 100
    if confidence is None or not 0.5 <= confidence < 1:
        errors["confidence"] = (
            f"{entries['confidence'][:40]!r} was read; from 50 % to below 100 % is allowed, such as 95 %."
        )
    days = _number(entries["days"])
    if days is None or days != round(days) or not 4 <= days <= MOST_DAYS:
        errors["days"] = f"{entries['days'][:40]!r} was read; a whole number from 4 to {MOST_DAYS:,} is allowed."
    if errors or confidence is None or days is None:
        return None, errors
    promises = tuple(one.strip() for one in entries["promises"].replace(";", "\n").split("\n") if one.strip())
    return Wanted(text, promises, round(confidence, 12), int(days)), {}


def _number(text: str) -> float | None:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) and "_" not in text else None


def wrong_field(error: Exception, wanted: Wanted, *, own: bool) -> str:
    """At which field a message stands: at the promises where it is about them, otherwise at what is to be found."""
    said = str(error)
    about = ("promise", "on time", "throughput", "lead time", "dry")
    if any(word in said.split(":")[0] for word in about):
        return "promises"
    return "own" if own else "values" if _has_values(wanted) else "goal"


def _has_values(wanted: Wanted) -> bool:
    return bool(wanted.text) and wanted.text[-1].isdigit()


def rows_of(answer: Answer) -> tuple[TriedRow, ...]:
    """What was tried, as a table."""
    return tuple(
        _row(one, chosen=answer.found is not None and one.setting == answer.found.setting) for one in answer.tried
    )


def _row(one: Tried, *, chosen: bool) -> TriedRow:
    mark, said = VERDICTS.get(one.verdict, ("", one.verdict))
    outcomes = tuple(
        TriedOutcome(name=it.name, mean=finite(it.mean), low=finite(it.low), high=finite(it.high), words=it.words)
        for it in one.outcomes
    )
    return TriedRow(
        words=one.words, setting=one.setting, runs=one.runs, outcomes=outcomes, verdict=one.verdict, mark=mark, said=said,
        note=one.note, chosen=chosen,
    )  # fmt: skip


def settings_with(settings: Settings, knobs: Sequence[Turnable], hunt: Hunt, found: Tried) -> Settings:
    """What was turned already, with the setting that was found: as the forecast page takes it."""
    values = {(one.kind, one.where): float(value) for one, value in zip(hunt.wording.knobs, found.setting, strict=True)}
    turnings = []
    for knob in knobs:
        value = values.get((knob.kind, knob.where), settings.of(knob))
        if value is not None and value != knob.today:
            turnings.append(Turning(knob, value))
    return Settings(tuple(turnings))

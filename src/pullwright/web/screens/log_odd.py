"""What is odd in a log: how often, in which rows, what is done about it, and how a person decides otherwise."""

from __future__ import annotations

from pydantic import Field as Kept

from pullwright.record.limits import LIMITS
from pullwright.watch.log.events import Oddity
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.merging import machine_steps, merges_for
from pullwright.watch.log.oddities import BY_KEY, CHOICES
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.opened_log import (
    DECISIONS,
    LOOK_AGAIN,
    AboutLog,
    LogKey,
    LogStages,
    OpenedLog,
    Waiting,
    note_on,
    open_log_sheet,
)
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Piece

WHO = Field("who", "Who decides", most=LIMITS["who"].most, autocomplete="name")
MOST_ROWS_LINKED, MOST_ROWS_NAMED = 40, 6
TOGETHER, APART = "together", "apart"


class OddShown(Piece):
    """One oddity: its field in the form, its sentence, its question, its first rows and where to see them."""

    key: str
    field: str
    title: str
    sentence: str
    question: str
    rows: tuple[int, ...]
    more: int
    rows_href: str
    only: str = ""


class LogOddPage(AboutLog, FormPage):
    """What is odd in one log."""

    odd: tuple[OddShown, ...] = ()
    merged: tuple[str, ...] = ()
    choices: dict[str, tuple[str, ...]] = Kept(default_factory=dict, exclude=True)
    action: str = Kept(default="", exclude=True)


def log_odd(log: LogKey, desk: AtDesk) -> LogOddPage:
    """What is odd in this log, and what is done about it?"""
    opened = open_log_sheet(desk, log)
    stages, about = LogStages(desk, opened), opened.about("What is odd", "What is odd")
    try:
        events, found = stages.events(), stages.oddities()
    except Waiting:
        text = f"What is odd in {opened.file} is being looked for."
        return LogOddPage(found=Found(text=text), under_way=LOOK_AGAIN, action=opened.part("odd"), **about)
    except LogError as error:
        return LogOddPage(found=Found(text=str(error), look=True), action=opened.part("odd"), **about)
    shown = tuple(_shown(opened, number, one) for number, one in enumerate(found))
    merged = machine_steps(events)
    start = {one.field: _chosen(opened, odd) for one, odd in zip(shown, found, strict=True)}
    start["machines"] = APART if opened.decided and not opened.merges.get("activity") else TOGETHER
    return LogOddPage(
        found=Found(text=_found(opened, found), look=bool(found)),
        odd=shown,
        merged=tuple(sorted(set(merged.values()))),
        choices={one.field: odd.choices for one, odd in zip(shown, found, strict=True)},
        action=opened.part("odd"),
        start=start,
        **about,
    )


def _shown(opened: OpenedLog, number: int, one: Oddity) -> OddShown:
    kind = BY_KEY.get(one.key)
    named = ",".join(map(str, one.rows[:MOST_ROWS_LINKED]))
    column = f" ({one.column})" if one.column else ""
    return OddShown(
        key=one.key,
        field=f"odd-{number}",
        title=f"{one.key.capitalize()}{column}",
        sentence=one.sentence,
        question=kind.question if kind else "",
        rows=one.rows[:MOST_ROWS_NAMED],
        more=max(one.count - MOST_ROWS_NAMED, 0) if one.rows else 0,
        rows_href=f"{opened.part('rows')}?rows={named}" if named else "",
        only=_words(one.choices[0]) if len(one.choices) == 1 else "",
    )


def _chosen(opened: OpenedLog, one: Oddity) -> str:
    said = opened.decisions.get(one.key, "")
    return said if said in one.choices else one.choices[0]


def _words(choice: str) -> str:
    does = CHOICES.get(choice, "")
    return f"{choice}: {does[0].lower()}{does[1:].rstrip('.')}" if does else choice


def _found(opened: OpenedLog, found: tuple[Oddity, ...]) -> str:
    if not found:
        return f"Nothing is odd in {opened.file}."
    kinds = "One thing is" if len(found) == 1 else f"{len(found)} things are"
    asked = "as it was decided" if opened.decided else "look each over and decide; nothing in the file is changed"
    return f"{kinds} odd in {opened.file}: {asked}."


def _form(page: LogOddPage) -> Form:
    fields = [
        Field(
            one.field,
            "What is done",
            hint=" ".join(f"{c.capitalize()}: {CHOICES[c]}" for c in page.choices[one.field] if c in CHOICES),
            kind="choice",
            choices=tuple((c, c) for c in page.choices[one.field]),
        )
        for one in page.odd
        if not one.only
    ]
    if page.merged:
        together = ((TOGETHER, "take them as one step at several machines"), (APART, "keep them apart as written"))
        fields.append(
            Field("machines", "Steps that differ only by the machine in their name", kind="choice", choices=together)
        )
    return Form("log-odd", *fields, WHO)


def decide_on(page: LogOddPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Write down what was decided, and go on to the story."""
    opened = open_log_sheet(desk, page.key)
    typed = filled.typed
    decisions = {one.key: typed[one.field] for one in page.odd if one.field in typed}
    try:
        merges = merges_for(LogStages(desk, opened).events(), decisions, together=typed.get("machines") == TOGETHER)
    except Waiting:
        return filled.back(notice="Nothing was saved yet: the log is still being read. Send it once more in a moment.")
    note_on(desk, opened, DECISIONS, {"decisions": decisions, "merges": merges}, typed["who"])
    return Done(opened.part("story"))


def register(pages: Pages) -> None:
    """Add the page of what is odd."""
    pages.form("/logs/{log}/odd", log_odd, "log_odd.html", form=_form, act=decide_on)

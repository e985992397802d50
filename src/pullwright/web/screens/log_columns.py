"""How the columns of a log are understood: each guess with its reason and examples, to be put right and confirmed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from pydantic import Field as Kept

from pullwright.record.limits import LIMITS
from pullwright.watch.log.events import EVENT_KINDS
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.guess import ColumnPlan
from pullwright.watch.log.numbers_read import SPAN_UNITS
from pullwright.watch.log.plan import PHASES
from pullwright.watch.log.roles import ROLES, RoleRow
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.opened_log import (
    COLUMNS,
    LOOK_AGAIN,
    AboutLog,
    LogKey,
    LogStages,
    Waiting,
    note_on,
    open_log_sheet,
)
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Piece

if TYPE_CHECKING:
    from pullwright.watch.log.raw import RawLog

NONE = ""
MOST_CHOICES, MOST_WORDS, MOST_PHASES, MOST_EXAMPLES = 80, 8, 5, 3
LONGEST_EXAMPLE = 24
KIND_WORDS = {"run": "running", "set-up": "set-up", "down": "standing still", "other": "something else"}
PHASE_WORDS = {"start": "something began", "end": "something was done", "other": "neither; leave it out"}
WHO = Field("who", "Who looked it over", most=LIMITS["who"].most, autocomplete="name")
SURE, LIKELY = 0.85, 0.6


class RoleShown(Piece):
    """One role as the page asks it: which fields of the form, how it was guessed, what stands in the column."""

    key: str
    fields: tuple[str, ...]
    found: bool
    guess: str = ""
    examples: tuple[str, ...] = ()


class LogColumnsPage(AboutLog, FormPage):
    """How the columns are understood."""

    form_words: str = ""
    noticed: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    roles: tuple[RoleShown, ...] = ()
    words: tuple[str, ...] = ()
    phases: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    plan: dict[str, object] = Kept(default_factory=dict, exclude=True)
    action: str = Kept(default="", exclude=True)


def log_columns(log: LogKey, desk: AtDesk) -> LogColumnsPage:
    """How are the columns of this log understood?"""
    opened = open_log_sheet(desk, log)
    about = opened.about(opened.file, "Columns") | {"trail": opened.about("", "")["trail"]}
    try:
        raw = LogStages(desk, opened).raw()
    except Waiting:
        return LogColumnsPage(
            found=Found(text=f"{opened.file} is being read."), under_way=LOOK_AGAIN, plan=opened.plan.as_dict(), **about
        )
    plan = opened.plan
    needed = len([row for row in ROLES if plan.column(row.key)])
    asked = "looked over already; change what is wrong" if opened.confirmed else "look it over and confirm it"
    return LogColumnsPage(
        found=Found(
            text=f"{opened.file} has {raw.table.height:,} rows; {needed} of its {len(plan.columns)} columns tell something: {asked}."
        ),
        form_words=raw.form,
        noticed=raw.noticed,
        questions=plan.questions,
        roles=tuple(_shown(row, plan, raw) for row in ROLES),
        words=tuple(list(plan.meanings)[:MOST_WORDS]),
        phases=tuple(list(plan.phases)[:MOST_PHASES]),
        forms=tuple(f"{column}: {words}" for column, words in plan.forms.items()),
        plan=plan.as_dict(),
        action=opened.base,
        start=_start(plan),
        **about,
    )


def _shown(row: RoleRow, plan: ColumnPlan, raw: RawLog) -> RoleShown:
    guess = next((one for one in plan.guesses if one.role == row.key), None)
    column = plan.column(row.key)
    said = ""
    if column and guess and guess.column == column:
        sure = "Sure" if guess.confidence >= SURE else "Likely" if guess.confidence >= LIKELY else "A guess only"
        said = f"{sure}: {guess.reason}."
    fields = (f"role-{row.key}", f"role-{row.key}-2") if row.shape == "time" else (f"role-{row.key}",)
    return RoleShown(
        key=row.key,
        fields=fields,
        found=bool(column),
        guess=said,
        examples=_examples(raw, column) if column and row.key != "person" else (),
    )


def _examples(raw: RawLog, column: str) -> tuple[str, ...]:
    if column not in raw.table.columns:
        return ()
    seen = raw.table[column].head(400).drop_nulls().unique(maintain_order=True).head(MOST_EXAMPLES).to_list()
    return tuple(text if len(text) <= LONGEST_EXAMPLE else text[: LONGEST_EXAMPLE - 1] + "…" for text in map(str, seen))


def _start(plan: ColumnPlan) -> dict[str, str]:
    start = {
        "day-first": "day" if plan.day_first else "month",
        "zone": plan.zone,
        "decimal": plan.decimal,
        "span-unit": plan.span_unit,
    }
    for row in ROLES:
        names = (*plan.roles.get(row.key, ()), "", "")
        start[f"role-{row.key}"] = names[0]
        if row.shape == "time":
            start[f"role-{row.key}-2"] = names[1]
    start |= {f"kind-{n}": plan.meanings[word] for n, word in enumerate(list(plan.meanings)[:MOST_WORDS])}
    start |= {f"phase-{n}": plan.phases[word] for n, word in enumerate(list(plan.phases)[:MOST_PHASES])}
    return start


def _form(page: LogColumnsPage) -> Form:
    plan = ColumnPlan.from_dict(page.plan)
    fields = []
    for row in ROLES:
        choices = _choices(plan, row)
        need = " It is needed." if row.needed else ""
        fields.append(
            Field(
                f"role-{row.key}",
                row.words.capitalize(),
                hint=row.question + need,
                kind="choice",
                choices=choices,
                required=False,
            )
        )
        if row.shape == "time":
            fields.append(
                Field(
                    f"role-{row.key}-2",
                    f"{row.words.capitalize()}: time of day",
                    hint="Where the date and the time of day stand in two columns.",
                    kind="choice",
                    choices=choices,
                    required=False,
                )
            )
    order = (("day", "the day first: 3/4 is 3 April"), ("month", "the month first: 3/4 is 4 March"))
    fields += [
        Field("day-first", "Order of day and month", kind="choice", choices=order),
        Field(
            "zone",
            "Time zone of the clock",
            hint="Such as Europe/Berlin; empty where the clock never jumps for summer time.",
            required=False,
            most=60,
        ),
        Field(
            "decimal",
            "Sign before the decimals",
            kind="choice",
            choices=((".", "a point: 1.5"), (",", "a comma: 1,5")),
        ),
        Field(
            "span-unit", "Unit of a duration that names none", kind="choice", choices=tuple((u, u) for u in SPAN_UNITS)
        ),
    ]
    for n, word in enumerate(list(plan.meanings)[:MOST_WORDS]):
        count = plan.kind_counts.get(word, 0)
        label = f"{word[:40] or '(empty)'} means"
        hint = f"{count:,} rows of those looked at." if count else ""
        fields.append(
            Field(f"kind-{n}", label, hint=hint, kind="choice", choices=tuple((k, KIND_WORDS[k]) for k in EVENT_KINDS))
        )
    for n, word in enumerate(list(plan.phases)[:MOST_PHASES]):
        fields.append(
            Field(
                f"phase-{n}",
                f"{word[:40] or '(empty)'} means",
                kind="choice",
                choices=tuple((one, PHASE_WORDS[one]) for one in PHASES),
            )
        )
    return Form("log-columns", *fields, WHO)


def _choices(plan: ColumnPlan, row: RoleRow) -> tuple[tuple[str, str], ...]:
    """The columns to choose from: those that the guess thought of first, and as many others as a list can hold."""
    guess = next((one for one in plan.guesses if one.role == row.key), None)
    near = [*plan.roles.get(row.key, ()), *((guess.column, *(one.column for one in guess.others)) if guess else ())]
    names = dict.fromkeys(name for name in (*near, *plan.columns[:MOST_CHOICES]) if name)
    ordered = [name for name in plan.columns if name in names]
    return ((NONE, "not in this file"), *((name, name) for name in ordered))


def confirm(page: LogColumnsPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Write down how the columns are understood, and go on to what is odd."""
    typed, plan = filled.typed, ColumnPlan.from_dict(page.plan)
    missing = {
        f"role-{row.key}": f"{row.question} Without it nothing can be said."
        for row in ROLES
        if row.needed and not typed[f"role-{row.key}"]
    }
    for one, other in (("case", "activity"), ("start", "end")):
        if typed[f"role-{one}"] and (typed[f"role-{one}"], typed.get(f"role-{one}-2")) == (
            typed[f"role-{other}"],
            typed.get(f"role-{other}-2"),
        ):
            missing[f"role-{other}"] = (
                f"{typed[f'role-{other}']} is taken for two things that differ; choose another column for one of them."
            )
    if not any(typed[f"role-{key}"] for key in ("start", "end", "moment")):
        missing["role-start"] = "A log needs a start, an end or a moment."
    if missing:
        return filled.back(missing)
    try:
        changed = replace(plan, questions=()).with_roles(
            {row.key: [typed[f"role-{row.key}"], typed.get(f"role-{row.key}-2", "")] for row in ROLES}
        )
        changed = changed.with_meanings(
            {word: typed[f"kind-{n}"] for n, word in enumerate(list(plan.meanings)[:MOST_WORDS])}
        )
        changed = changed.with_phases(
            {word: typed[f"phase-{n}"] for n, word in enumerate(list(plan.phases)[:MOST_PHASES])}
        )
        changed = changed.with_reading(
            day_first=typed["day-first"] == "day",
            zone=typed["zone"].strip(),
            decimal=typed["decimal"],
            span_unit=typed["span-unit"],
        )
    except LogError as error:
        return filled.back({"zone": str(error)} if "zone" in error.read else None, notice=str(error))
    log = open_log_sheet(desk, page.key)
    note_on(desk, log, COLUMNS, {"plan": changed.as_dict()}, typed["who"])
    return Done(log.part("odd"))


def register(pages: Pages) -> None:
    """Add the page on which columns are looked over."""
    pages.form("/logs/{log}", log_columns, "log_columns.html", form=_form, act=confirm)

"""What stands on the accounts sheet besides the drawing: the words and figures of a survey, as plain values for the template."""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from pullwright.account import Account, Row
from pullwright.draw import AccountBar, lettered
from pullwright.paper.joining import joining_flows
from pullwright.paper.words import figure_words, minute_words, printable, typed_file
from pullwright.survey import Survey
from pullwright.survey.caution import caution_of

BETWEEN = "In brackets: nine times in ten the figure lies between these two."
BELOW = "Under a bar, blank with pointers: what is below 0; it leads back from the end of the bar to the whole (upright line)."
SEEN = "Seen: the share that somebody found who looked at random moments."
INVENTED = "All data of this line is invented."
MOST_ASSUMED = 9

_FIELD = re.compile(r"`(\w+)`")


def contents(survey: Survey, revision: str, printed: datetime) -> dict[str, Any]:
    """Everything on the sheet that does not depend on the size of its letters."""
    accounts = [
        _account(one, bar, survey.line.currency) for one, bar in zip(survey.accounts.all(), survey.bars(), strict=True)
    ]
    return {
        "title": printable(survey.line.line),
        "sentence": printable(survey.sentence),
        "invented": survey.line.invented,
        "facts": [[name, printable(text)] for name, text in _facts(survey, revision, printed) if text],
        "columns": _columns(accounts),
        "flows": joining_flows(survey),
        "findings": _findings(survey),
        "list_all": f"pullwright check {typed_file(survey.line.file)}",
        "watch": [printable(advice.sentence) for advice in survey.watch_next()],
        "spread": [printable(sentence) for sentence in _spread(survey)],
        "notes": _notes(survey),
        "assumed": [printable(sentence) for sentence in _assumed(survey)],
        "why": _why(survey),
        "caution": printable(caution_of(survey.line)),
    }  # fmt: skip


def _facts(survey: Survey, revision: str, printed: datetime) -> list[tuple[str, str]]:
    return [
        ("line file", survey.line.file),
        ("revision", revision),
        ("printed", minute_words(printed)),
    ]


def _account(account: Account, bar: AccountBar, currency: str) -> dict[str, Any]:
    remarks = {row.words: row.remark for row in bar.rows}
    by_words = {row.words: row for row in account.rows}
    lettered_rows = [(letter, by_words[shown.words], remarks[shown.words]) for letter, shown in lettered(bar)]
    empty = [row.words for _, row, remark in lettered_rows if _nothing(row) and remark is None]
    if len(empty) < 2:
        empty = []
    units = {figure_words(row.amount, currency)["unit"] for row in account.rows if row.words not in empty}
    return {
        "key": account.key,
        "title": account.title,
        "whole": figure_words(account.whole, currency),
        "unit": units.pop() if len(units) == 1 else "",
        "sampled": any(row.seen for row in account.rows),
        "rows": [
            {
                "letter": letter,
                "swatch": f"{row.kind} back" if row.amount.value < 0 else row.kind,
                "words": row.words,
                "amount": figure_words(row.amount, currency),
                "share": row.share.short(currency),
                "seen": row.seen.short(currency) if row.seen else "",
                "word": remark.word if remark else "",
            }
            for letter, row, remark in lettered_rows
            if row.words not in empty
        ],
        "empty": empty,
        "notes": [_quoted(note) for note in account.notes],
    }


def _nothing(row: Row) -> bool:
    """Is it certain that nothing stands in this row? What is not explained always keeps its row."""
    return row.amount.certain and row.amount.value == 0 and row.seen is None and row.kind != "unexplained"


def _findings(survey: Survey) -> list[dict[str, str]]:
    """What is out of place, each kind's first before any kind's second, so that a list cut short shows every kind."""
    count: dict[str, int] = {}
    ranked = []
    for one in survey.findings:
        ranked.append((count.setdefault(one.word, 0), one))
        count[one.word] += 1
    first = sorted(ranked, key=lambda pair: min(pair[0], 1))
    return [{"word": printable(one.word), "sentence": printable(one.sentence)} for _, one in first]


def _notes(survey: Survey) -> list[str]:
    rows = [row for account in survey.accounts.all() for row in account.rows]
    notes = [BETWEEN]
    if any(row.seen for row in rows):
        notes.append(SEEN)
    if any(row.amount.value < 0 for row in rows):
        notes.append(BELOW)
    if survey.line.invented:
        notes.append(INVENTED)
    return notes


def _columns(accounts: list[dict[str, Any]]) -> list[list[dict[str, Any]]]:
    """One account per column; bought material in kilograms stands under bought material in money."""
    columns: list[list[dict[str, Any]]] = []
    for account in accounts:
        if account["key"] == "mass":
            columns[-1].append(account)
        else:
            columns.append([account])
    return columns


def _spread(survey: Survey) -> list[str]:
    spread, currency = survey.accounts.propagation, survey.line.currency
    notes = [_quoted(spread.note)] if spread.note else []
    if spread.total.value == 0:
        return notes
    if survey.line.standard is None:
        said = f"The wastes of today's way cost {spread.total.text(currency)} here in a year."
    else:
        whom = f"{spread.multiple.short()} times this line, over {spread.years.short()}, worth today"
        said = f"Signed off for everybody ({whom}), the wastes of today's way cost {spread.total.text(currency)}."
    return [f"{said} A tenth less waste before signing is worth {spread.tenth.text(currency)}.", *notes]


def _quoted(note: str) -> str:
    """Names of fields stand in quotes on paper."""
    return printable(_FIELD.sub("“\\1”", note))


def _assumed(survey: Survey) -> list[str]:
    """What the line file does not say and is therefore assumed, each once, in the order in which it is met."""
    said: list[str] = []
    for figure in survey.every_figure.values():
        if figure.source is not None and figure.source.kind == "common practice":
            # What holds at every step or station alike is told once, by the name of the field.
            one = f"{figure.name.rpartition(' / ')[2]} {figure.short(survey.line.currency)}"
            if one not in said:
                said.append(one)
    more = len(said) - MOST_ASSUMED
    return [*said[:MOST_ASSUMED], f"and {more} more"] if more > 0 else said


def _why(survey: Survey) -> str:
    dearest = survey.accounts.top_wastes()
    asked = dearest[0].amount if dearest else survey.accounts.hours.whole
    return f'pullwright account {typed_file(survey.line.file)} --why "{asked.name}"'

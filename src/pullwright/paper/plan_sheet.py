"""The plan sheet: the pull plan of a line on one page, to hang up beside it."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pullwright.paper.plan_contents import plan_contents
from pullwright.paper.plan_fit import A3, A4, TEMPLATE, ready_plan
from pullwright.paper.press import press_with_letters
from pullwright.survey.planned.planned import Planned


def plan_sheet(
    planned: Planned,
    *,
    paper: Literal["a3", "a4"] = "a3",
    revision: str = "",
    wished: str = "",
    printed: datetime | None = None,
) -> bytes:
    """How is the product to be made as it is pulled: posts, cards, lots, deliveries, sequence, people, and whether it fits, on one page?

    Parameters: `planned`, the plan; `paper`, A3 or A4, lying on its long side; `revision` of the line and what is `wished` otherwise than in its file (words that are shown
    as they are, may be empty); `printed`, the date on the sheet and in the file (now, if nothing is said).
    Result: a PDF (PDF/UA-1) of exactly one page; the same plan, words and date give the same bytes. Of a long plan as much is told as there is room for; each chapter then says what is
    left out and where it stands.
    Errors: PrintError where the press fails.

    >>> from pullwright.line import Line
    >>> from pullwright.pull.plan import plan_of
    >>> from pullwright.survey import survey_of
    >>> line = Line.from_text('''
    ... line: seals
    ... calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
    ... products: [{name: seal, demand: 30 /d}]
    ... stations: [{name: press}]
    ... steps: [{name: form, station: press, manual: 4 min}]
    ... people: [{name: all, number: 2}]
    ... ''')
    >>> plan_sheet(Planned(plan_of(survey_of(line).accounts)), printed=datetime(2026, 3, 2))[:5]
    b'%PDF-'
    """
    when = printed or datetime.now().astimezone().replace(second=0, microsecond=0)
    said = plan_contents(planned, revision, wished, when)
    return press_with_letters(TEMPLATE, lambda missing: ready_plan(said | {"missing": missing}, A4 if paper == "a4" else A3), when)  # fmt: skip

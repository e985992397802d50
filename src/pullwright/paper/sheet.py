"""The accounts sheet: what Pullwright says of a line, on one A3 page to hang up beside it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pullwright.paper.contents import contents
from pullwright.paper.fit import TEMPLATE, plan_for, ready_for_press
from pullwright.paper.press import press_with_letters
from pullwright.survey import Survey


def accounts_sheet(survey: Survey, *, revision: str = "", printed: datetime | None = None) -> bytes:
    """What does the whole line look like, where do its hours, floor, material and money go, and what is out of place, on one sheet?

    Parameters: survey of a line; revision (text that is shown as it is, may be empty); printed (date on the sheet and in
    the file; now, if nothing is said). Result: a PDF (PDF/UA-1) of exactly one page, A3 landscape; the same survey,
    revision and date give the same bytes. The letters are as large as one page allows and never under 6.5 pt, except
    that the drawing of a line too long for that is made smaller as a whole, which the sheet then says.
    Errors: PrintError where the press fails.

    >>> from pullwright.examples import EXAMPLES
    >>> from pullwright.line import Line
    >>> from pullwright.survey import survey_of
    >>> sheet = accounts_sheet(survey_of(Line.from_text(EXAMPLES[0].text)), printed=datetime(2026, 3, 2))
    >>> sheet[:5]
    b'%PDF-'
    """
    when = printed or datetime.now().astimezone().replace(second=0, microsecond=0)
    said = contents(survey, revision, when)
    return press_with_letters(TEMPLATE, lambda missing: _set(survey, said | {"missing": missing}), when)


def _set(survey: Survey, said: dict[str, Any]) -> dict[str, Any]:
    return ready_for_press(survey, said, plan_for(survey, said))

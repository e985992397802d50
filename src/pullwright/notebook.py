"""A line in a notebook: the line file, and what Pullwright says of it, as attributes of one object."""

from __future__ import annotations

from functools import cached_property
from html import escape

from pullwright.account import Accounts
from pullwright.account.findings import Finding
from pullwright.account.rows import Row
from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.line import Line as LineFile
from pullwright.survey import Change, Survey, compare, survey_of


class Line(LineFile):
    """A line with everything that is worked out of it.

    >>> from pullwright.examples import EXAMPLES
    >>> line = Line.from_text(EXAMPLES[0].text)
    >>> line.flow().takt.text()
    '16.2 min'
    >>> [row.words for row in line.losses()[:2]]
    ['waiting', 'made before anybody pulled']
    """

    @cached_property
    def survey(self) -> Survey:
        """Everything that is worked out, each when first asked for."""
        return survey_of(self)

    def flow(self) -> Flow:
        """Takt, loads, waiting, stock, ladder, yields, indicators."""
        return self.survey.flow

    def accounts(self) -> Accounts:
        """The closed accounts: hours, floor, material, money."""
        return self.survey.accounts

    def losses(self) -> tuple[Row, ...]:
        """The wastes in money a year, the dearest first."""
        return self.accounts().top_wastes()

    def out_of_place(self) -> tuple[Finding, ...]:
        """What is out of place."""
        return self.survey.findings

    def figure(self, name: str) -> Figure:
        """A figure by its name; it answers `.why()`."""
        return self.survey.figure(name)

    def compared_with(self, before: Line) -> tuple[Change, ...]:
        """What is different from another revision of the line."""
        return compare(before.survey, self.survey)

    def drawing(self, width: float = 1200.0) -> str:
        """The line drawing as SVG."""
        return self.survey.drawing(width)

    def _repr_html_(self) -> str:
        return f"<p>{escape(self.survey.sentence)}</p>{self.survey.drawing(1000.0, prefix=f'line{id(self)}')}"

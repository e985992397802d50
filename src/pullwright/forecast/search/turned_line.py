"""A line turned to a setting, with what is worked out once for all of its runs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from pullwright.forecast.layout import Layout
from pullwright.line import Line

if TYPE_CHECKING:
    from pullwright.forecast.money import CashTerms


@dataclass(frozen=True, eq=False)
class TurnedLine:
    """The line, how it is run, and who pays whom when (worked out when it is first asked for)."""

    line: Line
    layout: Layout

    @cached_property
    def cash_terms(self) -> CashTerms:
        """What is paid for what, and when; CannotCount where the line file lacks what that needs."""
        from pullwright.account import accounts_of
        from pullwright.forecast.money import cash_terms

        return cash_terms(accounts_of(self.line))

    @cached_property
    def start(self) -> dt.date:
        """The date on which its runs begin."""
        from pullwright.forecast.money import usual_start

        return usual_start(self.line)

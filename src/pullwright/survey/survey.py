"""A survey of one line: flow, accounts, what is out of place, every figure by name, the pictures. Each is worked out when it is first asked for."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from functools import cached_property
from typing import Any

from pullwright.account import Accounts, accounts_of
from pullwright.account.findings import Finding, findings_of, sentence
from pullwright.draw import LinePicture, WhyLink, account_bars, line_drawing
from pullwright.draw.account_bars import AccountBar
from pullwright.draw.of_line import bar_of, picture_of
from pullwright.figure import Figure
from pullwright.figure.advice import Advice
from pullwright.flow import Flow
from pullwright.line import Line
from pullwright.line.faults import likely_slip

WORTH_THE_WAY = 0.05
"""Advice that narrows an answer by less than this share is not worth standing at the line for (common practice)."""


class UnknownFigureError(KeyError):
    """There is no figure of that name; the message names the nearest one."""

    def __init__(self, name: str, known: list[str]) -> None:
        self.name = name
        self.hint = likely_slip(name, known)
        super().__init__(f"there is no figure called {name!r}" + (f": {self.hint}" if self.hint else ""))

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Survey:
    """What Pullwright says of one line."""

    line: Line

    @cached_property
    def accounts(self) -> Accounts:
        """The closed accounts, with the flow in them."""
        return accounts_of(self.line)

    @property
    def flow(self) -> Flow:
        """The flow arithmetic."""
        return self.accounts.flow

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What is out of place."""
        return findings_of(self.accounts)

    @cached_property
    def sentence(self) -> str:
        """What was found, as a foreman would say it."""
        return sentence(self.accounts, self.findings)

    @cached_property
    def figures(self) -> dict[str, Figure]:
        """The figures that people ask for, by name, in the order in which they are read."""
        return self.accounts.figures()

    @cached_property
    def every_figure(self) -> dict[str, Figure]:
        """Every figure by name, those too that others are made from, down to the given ones."""
        found: dict[str, Figure] = {}
        waiting = deque(
            [*self.figures.values(), *(finding.figure for finding in self.findings), *_figures_in(self.picture())]
        )
        while waiting:
            figure = waiting.popleft()
            if figure.name not in found:
                found[figure.name] = figure
                waiting.extend(figure.inputs)
        return found

    def figure(self, name: str) -> Figure:
        """Find a figure by its name; UnknownFigureError names the nearest one."""
        figure = self.figures.get(name) or self.every_figure.get(name)
        if figure is None:
            raise UnknownFigureError(name, list(self.every_figure))
        return figure

    def watch_next(self, most: int = 3) -> tuple[Advice, ...]:
        """What should be watched next: for the lead time and for a year's money, the advice that sharpens most first."""
        answers = (self.flow.ladder.lead_days, self.accounts.year.whole)
        found = [advice for answer in answers for advice in answer.watch_next(most, currency=self.line.currency)]
        found.sort(key=lambda advice: -advice.gain)
        worth = [advice for advice in found if advice.gain >= WORTH_THE_WAY]
        # Where nothing is worth the way, the best of it is still said: how little it would help is an answer too.
        return tuple(worth[:most] or found[:1])

    def picture(self, why_link: WhyLink | None = None) -> LinePicture:
        """The scene of the line drawing."""
        return picture_of(self.accounts, self.findings, self.sentence, why_link)

    def drawing(
        self, width: float = 1200.0, *, prefix: str = "line", why_link: WhyLink | None = None, heading: bool = True
    ) -> str:
        """The line drawing as SVG."""
        return line_drawing(self.picture(why_link), width=width, prefix=prefix, heading=heading)

    def bars(self) -> tuple[AccountBar, ...]:
        """The scene of the account bars."""
        return tuple(bar_of(account, self.findings) for account in self.accounts.all())

    def account_drawing(
        self, width: float = 1200.0, *, prefix: str = "account", why_link: WhyLink | None = None
    ) -> str:
        """The account bars as SVG."""
        return account_bars(self.bars(), currency=self.line.currency, width=width, prefix=prefix, why_link=why_link)


def _figures_in(scene: Any) -> Iterator[Figure]:
    """Every figure that a scene shows, wherever in it."""
    if isinstance(scene, Figure):
        yield scene
    elif isinstance(scene, tuple):
        for one in scene:
            yield from _figures_in(one)
    elif is_dataclass(scene):
        for part in fields(scene):
            yield from _figures_in(getattr(scene, part.name))


def survey_of(line: Line) -> Survey:
    """Survey a line."""
    return Survey(line)

"""Contradictions in what is good, scrapped and done again at a step."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.model import LineModel, Step
from pullwright.line.quantity import Quantity
from pullwright.line.sense.slip import Slip

_ROUNDING = 0.005
"""Three shares that were rounded one by one may miss 1 by so much."""


def losses(line: LineModel) -> Iterator[Slip]:
    """Do the shares of a step go together, and does anything leave it good?"""
    for i, step in enumerate(line.steps):
        first = step.first_pass_yield.value if step.first_pass_yield else None
        scrap = step.scrap.value if step.scrap else None
        again = step.rework.share.value if step.rework else None
        lost = (scrap or 0.0) + (again or 0.0)
        all_three = first is not None and scrap is not None and again is not None
        if first is None and lost > 1 + _ROUNDING:
            said = f"scrap and rework of {step.name} add up to {lost:.4g}, more than 1"
            yield Slip(("steps", i, "scrap"), f"{lost:.4g}", "shares of at most 1 together", said)
        elif first is not None and (abs(first + lost - 1) > _ROUNDING if all_three else first + lost > 1 + 1e-6):
            wrong = "not to 1" if all_three else "more than 1"
            said = f"first-pass yield, scrap and rework of {step.name} add up to {first + lost:.4g}, {wrong}"
            hint = "leave one of the three out" if all_three else ""
            allowed = "shares that add up to 1" if all_three else "shares of at most 1 together"
            yield Slip(("steps", i, "first_pass_yield"), f"{first:.4g} + {lost:.4g}", allowed, said, hint)
        elif not _leaves_good(step, highest=False):
            said = f"no piece ever leaves {step.name} good: its yield is zero"
            yield Slip(("steps", i), "0 %", "some good pieces", said)
        elif not _leaves_good(step, highest=True):
            said = f"scrap and rework of {step.name} may reach 100 % at their highest; then no piece leaves it good"
            yield Slip(("steps", i), "up to 100 %", "highest scrap and rework below 1 together", said)


def _leaves_good(step: Step, *, highest: bool) -> bool:
    """Does a share of the pieces leave the step good and forward? What is put right on the spot does."""
    again = _share(step.rework.share if step.rework else None, highest)
    back = again if step.rework is not None and step.rework.to is not None else 0.0
    if step.first_pass_yield is None:
        return _share(step.scrap, highest) + back < 1 - 1e-9
    good = step.first_pass_yield.low if highest else None
    good = step.first_pass_yield.value if good is None else good
    return good + (again - back) > 1e-9


def _share(share: Quantity | None, highest: bool) -> float:
    if share is None:
        return 0.0
    return share.high if highest and share.high is not None else share.value

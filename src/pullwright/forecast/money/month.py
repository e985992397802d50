"""What is paid by the month, whatever is made: wages, rent, fixed costs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.money.dates import Horizon
from pullwright.forecast.money.terms import CashTerms, CrewPay
from pullwright.line.calendar import WorkCalendar

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Wages:
    """By day (C,), money above 0: `earned` on it, `paid` on it for days of the horizon, `paid_before` on it for days before the start.

    `left` and `left_before`: what is still owed of the two at the end.
    """

    earned: Floats
    paid: Floats
    paid_before: Floats
    left: float
    left_before: float


def wages_of(terms: CashTerms, horizon: Horizon) -> Wages:
    """Which wages are earned and paid on which day? On the last working day of a month all that was earned since the last one."""
    days, on = _days_and_pay_days(horizon)
    earned = sum((crew.cost * _paid_seconds(crew, horizon, days) for crew in terms.crews), np.zeros(days.size))
    paid = np.zeros((2, horizon.days))
    left = np.zeros(2)
    for row, mine in enumerate((days >= 0, days < 0)):
        inside = mine & (on < horizon.days)
        np.add.at(paid[row], on[inside], earned[inside])
        left[row] = earned[mine & ~inside].sum()
    return Wages(earned[days >= 0], paid[0], paid[1], float(left[0]), float(left[1]))


def paid_time(crew: CrewPay, horizon: Horizon, *, before: bool) -> float:
    """For how much paid time of one of a crew (s) are wages paid in the horizon: of days of the horizon, or of days before the start?"""
    days, on = _days_and_pay_days(horizon)
    mine = ((days < 0) if before else (days >= 0)) & (on < horizon.days)
    return float(_paid_seconds(crew, horizon, days[mine]).sum())


def _days_and_pay_days(horizon: Horizon) -> tuple[Ints, Ints]:
    """All days since the last pay day before the start, and the day on which what is earned on each is paid."""
    pay_days = np.array(horizon.last_worked, np.int64)
    first = int(pay_days[0]) + 1 if pay_days[0] < 0 else 0
    days = np.arange(first, horizon.days)
    return days, pay_days[np.searchsorted(pay_days, days)]


def _paid_seconds(crew: CrewPay, horizon: Horizon, days: Ints) -> Floats:
    """For how long is one of a crew paid in the shifts that start on each of these days (s)?"""
    return np.array([paid_on(crew, horizon.calendar, horizon.date(int(day))) for day in days], float)


def paid_on(crew: CrewPay, calendar: WorkCalendar, date: dt.date) -> float:
    """For how long is one of a crew paid in the shifts that start on a date (s)?"""
    shifts = calendar.shifts_on(date)
    return sum(shift.hours().paid for shift in shifts if crew.shifts is None or shift.name in crew.shifts)


def rent_by_day(terms: CashTerms, horizon: Horizon) -> Floats:
    """What rent is paid on each day (C,)? A twelfth of a year's on the first of a month."""
    paid = np.zeros(horizon.days)
    paid[horizon.firsts] = terms.rent / 12
    return paid


def fixed_by_day(terms: CashTerms, horizon: Horizon) -> Floats:
    """What fixed costs are paid on each day (C,)? A twelfth of a year's on the last day of a month."""
    paid = np.zeros(horizon.days)
    paid[horizon.lasts] = terms.fixed / 12
    return paid

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
    pay_days = np.array(horizon.last_worked, np.int64)
    first = int(pay_days[0]) + 1 if pay_days[0] < 0 else 0
    days = np.arange(first, horizon.days)
    earned = np.array([day_of_wages(terms.crews, horizon.calendar, horizon.date(int(day))) for day in days])
    on = pay_days[np.searchsorted(pay_days, days)]
    paid = np.zeros((2, horizon.days))
    left = np.zeros(2)
    for row, mine in enumerate((days >= 0, days < 0)):
        inside = mine & (on < horizon.days)
        np.add.at(paid[row], on[inside], earned[inside])
        left[row] = earned[mine & ~inside].sum()
    return Wages(earned[days >= 0], paid[0], paid[1], float(left[0]), float(left[1]))


def day_of_wages(crews: tuple[CrewPay, ...], calendar: WorkCalendar, date: dt.date) -> float:
    """What do all crews earn in the shifts that start on a date (money)? Paid time x people x wage."""
    shifts = [(shift.name, shift.hours().paid) for shift in calendar.shifts_on(date)]
    return sum(
        crew.cost * paid for crew in crews for name, paid in shifts if crew.shifts is None or name in crew.shifts
    )


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

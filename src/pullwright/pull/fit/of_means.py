"""What can be done about people, cash and floor themselves: one person more, a lesson, a loan, other terms, more floor."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.terms import sales_a_day, supplier_of
from pullwright.figure import Figure, Source, derive, given, number_text, percent
from pullwright.flow import Flow
from pullwright.line.faults import Path
from pullwright.pull.changes import Change
from pullwright.pull.crew.bounds import bounds_of
from pullwright.pull.crew.line_changes import taught
from pullwright.pull.crew.line_skills import LineSkills
from pullwright.pull.crew.training import Lesson
from pullwright.pull.fit.possible import PossibleChange

DEPOSIT, LATER, SOONER = 0.2, 14, 15
"""A deposit of a fifth; suppliers are paid two weeks later, customers pay 15 calendar days sooner: steps that are usual to ask for."""
MOST_PEOPLE, MOST_FLOOR, MOST_LOANS = 20, 2000, 100_000


def more_people(ground: Ground) -> Iterator[PossibleChange]:
    """One person more in a crew, in each of its shifts."""
    flow, line = ground.flow, ground.flow.line
    for c, crew in enumerate(line.people):
        name = f"one more in {crew.name}"
        shifts = len(crew.shifts or line.calendar.shifts)
        waged = any(other.wage is not None for other in line.people)
        wage = flow.givens.figure(("people", c, "wage")) if crew.wage is not None else ground.wage
        yearly = derive(
            f"fit / price / {name}", lambda w, paid, days: w * paid * days,
            wage, flow.givens.paid_seconds(crew.shifts), flow.givens.working_days("year"), unit="money/year",
            formula="wage x paid time of a day x working days per year",
        ) if waged else None  # fmt: skip
        at_once = "" if shifts == 1 else f" in each of its {shifts} shifts"
        yield PossibleChange(
            name,
            f"take on one person more in {crew.name}{at_once}",
            people=given(
                f"fit / people / {name}",
                float(shifts),
                "persons",
                Source("computed", f"one in each of {shifts} shifts"),
            ),
            yearly=yearly,
            assumed="Somebody who can do what the crew can do is found and costs the same wage."
            + (
                ""
                if crew.wage is not None
                else " No wage is given for the crew: the mean of the others is taken."
                if waged
                else " No wage is given."
            ),
            most=MOST_PEOPLE,
            crew=crew.name,
            written=_hired(c, crew.number),
            many=_people(crew.name, at_once),
        )


def lessons(ground: Ground, line: LineSkills) -> Iterator[PossibleChange]:
    """Tasks that a crew could learn, where those who can do them are too few today."""
    flow, skills = ground.flow, line.skills
    takt = flow.takt.value
    for bound in bounds_of(skills):
        work = sum(skills.tasks[t].time for t in bound.tasks) / takt
        room = sum(skills.hands[c].people * skills.hands[c].there for c in bound.crews)
        if work <= room * (1 + 1e-9):
            continue
        for t in bound.tasks:
            task = skills.names[t]
            for c, crew in enumerate(skills.hands):
                if c in bound.crews or crew.people == 0:
                    continue
                lesson = Lesson(crew.name, task, crew.people)
                yield PossibleChange(
                    f"{crew.name} learns {task}",
                    f"teach {crew.name} to do {task}",
                    assumed="All of the crew learn it; what the hours of learning cost, nobody has said.",
                    group=f"who learns {task}",
                    teaches=(crew.name, task),
                    written=_learned(flow, lesson),
                )


def more_cash(ground: Ground) -> Iterator[PossibleChange]:
    """Borrow, ask for a deposit, pay suppliers later, be paid sooner."""
    yield _loan(ground)
    yield from _deposit(ground)
    yield from _sooner(ground)
    yield from _later(ground)


def _loan(ground: Ground) -> PossibleChange:
    sales = sales_a_day(ground.flow).value
    step = 10.0 ** math.floor(math.log10(sales)) if sales > 0 else 1000.0
    money = ground.flow.line.money
    cash = given(
        "fit / cash / a loan", step, "money", Source("computed", "one step: the power of ten below a day's sales")
    )
    known = money is not None and money.carrying_rate is not None
    yearly = derive(
        "fit / price / a loan", lambda amount, rate: amount * rate, cash, ground.carrying_rate, unit="money/year",
        formula="loan x carrying rate",
    ) if known else None  # fmt: skip

    def said(times: int) -> str:
        return f"borrow {number_text(times * step, 0)} {ground.flow.line.currency}"

    return PossibleChange(
        "a loan",
        said(1),
        cash=cash,
        yearly=yearly,
        assumed="A bank lends it, for no more than the carrying rate."
        if known
        else "What a loan costs is not given (`money: carrying_rate`).",
        most=MOST_LOANS,
        written=lambda times: _cash(ground, times * step),
        many=said,
    )


def _cash(ground: Ground, more: float) -> tuple[Change, ...]:
    money = ground.flow.line.money
    here = money.cash.value if money is not None and money.cash is not None else 0.0
    return (
        Change(
            ("money", "cash"),
            f"{here + more:.2f} {ground.flow.line.currency}",
            f"a loan of {number_text(more, 0)} {ground.flow.line.currency} is taken",
        ),
    )


def _deposit(ground: Ground) -> Iterator[PossibleChange]:
    flow, money = ground.flow, ground.flow.line.money
    if money is None or money.deposit is not None:
        return
    inputs: list[Figure] = []
    for k, product in enumerate(flow.line.products):
        if product.price is not None and product.promise is not None:
            inputs += [
                flow.rates.products[k], flow.givens.figure(("products", k, "price")), flow.givens.span_days(("products", k, "promise")),
            ]  # fmt: skip
    cash = derive(
        "fit / cash / a deposit",
        lambda owed, made, *v: DEPOSIT * (owed + made * sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3))),
        ground.owed, flow.made, *inputs, unit="money",
        formula=f"{percent(DEPOSIT)} of what customers owe, and of what is ordered and not shipped (demand, as far as made, x price x promise)",
    )  # fmt: skip
    if cash.value > 0:
        yield PossibleChange(
            "a deposit",
            f"ask customers to pay {percent(DEPOSIT)} with the order",
            cash=cash,
            assumed="No customer stays away for it, and nobody asks for a lower price: what it really costs, nobody has said.",
            group="terms of customers: deposit",
            written=lambda times: (
                Change(("money", "deposit"), percent(DEPOSIT), "customers pay for a part of the material ahead"),
            ),
        )


def _sooner(ground: Ground) -> Iterator[PossibleChange]:
    flow, money = ground.flow, ground.flow.line.money
    if money is None or money.customers_pay_after is None:
        return
    days = flow.givens.calendar_days(("money", "customers_pay_after"))
    if days.value < SOONER:
        return
    cash = derive(
        "fit / cash / customers pay sooner", lambda owed, d: owed * SOONER / np.maximum(d, 1e-12), ground.owed, days, unit="money",
        formula=f"what customers owe x {SOONER} / calendar days until they pay",
    )  # fmt: skip
    if cash.value > 0:
        yield PossibleChange(
            "customers pay sooner",
            f"have customers pay {SOONER} calendar days sooner",
            cash=cash,
            assumed="They agree without a discount: what it really costs, nobody has said.",
            written=lambda times: (
                Change(
                    ("money", "customers_pay_after"),
                    f"{days.value - SOONER:g} cal d",
                    "what customers owe is the largest sum that is tied up",
                ),
            ),
        )


def _later(ground: Ground) -> Iterator[PossibleChange]:
    flow = ground.flow
    for s, supplier in enumerate(flow.line.suppliers):
        bought = [one for one in ground.parts if supplier_of(flow.line, one.part) == s and one.bought.value > 0]
        if not bought:
            continue
        name = f"{supplier.name} is paid later"
        inputs = [figure for one in bought for figure in (one.bought, flow.givens.figure(("parts", one.part, "price")))]

        def owed(year: Any, *v: Any) -> Any:
            return LATER * year / 365.2425 * sum(v[k] * v[k + 1] for k in range(0, len(v), 2))

        path = ("suppliers", s, "paid_after")
        own = supplier.paid_after is not None
        common = flow.line.money is not None and flow.line.money.suppliers_paid_after is not None
        now = (
            flow.givens.calendar_days(path).value if own
            else flow.givens.calendar_days(("money", "suppliers_paid_after")).value if common
            else 0.0
        )  # fmt: skip
        yield PossibleChange(
            name,
            f"have {supplier.name} wait for its money {LATER} calendar days longer",
            cash=derive(
                f"fit / cash / {name}", owed, flow.givens.working_days("year"), *inputs, unit="money",
                formula=f"{LATER} calendar days in working days x bought a day x price",
            ),
            assumed="The supplier agrees without a higher price: what it really costs, nobody has said.",
            written=_waits(path, f"{now + LATER:g} cal d"),
        )  # fmt: skip


def more_floor(ground: Ground) -> Iterator[PossibleChange]:
    """Rent more floor, square metre by square metre."""
    floor, money = ground.flow.line.floor, ground.flow.line.money
    if floor is None:
        return
    known = money is not None and money.floor_rent is not None
    one = given("fit / floor / rent more", 1.0, "m2", Source("computed", "one square metre"))
    yield PossibleChange(
        "rent more floor",
        "rent one square metre more",
        floor=one,
        yearly=derive(
            "fit / price / rent more floor", lambda area, rent: area * rent, one, ground.rent, unit="money/year", formula="floor x rent"
        ) if known else None,
        assumed="There is floor to be had beside the line, at today's rent." if known else "What floor costs is not given (`money: floor_rent`).",
        most=MOST_FLOOR,
        written=lambda times: (
            Change(("floor", "total"), f"{floor.total.value + times:g} m2", "the plan does not fit the floor that there is"),
        ),
        many=lambda times: f"rent {times} m² more",
    )  # fmt: skip


def _hired(c: int, number: int) -> Callable[[int], tuple[Change, ...]]:
    because = "people are short, and nothing cheaper makes up for them"
    return lambda times: (Change(("people", c, "number"), number + times, because),)


def _people(crew: str, at_once: str) -> Callable[[int], str]:
    return lambda times: f"take on {times} people more in {crew}{at_once}"


def _learned(flow: Flow, lesson: Lesson) -> Callable[[int], tuple[Change, ...]]:
    return lambda times: tuple(taught(flow, (lesson,), f"too few people can do {lesson.task}"))


def _waits(path: Path, written: str) -> Callable[[int], tuple[Change, ...]]:
    return lambda times: (Change(path, written, "what is owed to suppliers need not be in hand"),)

"""What is paid for what, to whom and when: the money of a line file in plain numbers, by the definitions of the accounts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.account import Accounts
from pullwright.account.terms import delivery_cost, paid_after, paid_at_once, supplier_of
from pullwright.account.wages import wage_notes
from pullwright.flow.givens import Path
from pullwright.forecast.drawn import drawn
from pullwright.forecast.money.dates import AT_ONCE, Term, term_of
from pullwright.forecast.money.lacking import CannotCount, lacking_for_cash
from pullwright.line.calendar import WorkCalendar

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class CrewPay:
    """What a crew costs in a second that is paid (money/s, all its people), and the shifts in which it works (None: all)."""

    name: str
    cost: float
    shifts: frozenset[str] | None


@dataclass(frozen=True)
class Before:
    """What was sold (units/wd, (P,)), bought (pieces/wd, (Q,)) and paid for deliveries (money/wd, (Q,)) on each working day before the start."""

    sold: Floats
    bought: Floats
    deliveries: Floats

    @classmethod
    def nothing(cls, products: int, parts: int) -> Before:
        """Nothing was: a line that begins on the day of the start owes nothing and is owed nothing, wages aside."""
        return cls(np.zeros(products), np.zeros(parts), np.zeros(parts))


@dataclass(frozen=True)
class CashTerms:
    """P products, Q parts; money, money/unit, money/piece, money/delivery, money/year.

    `cash`: in hand at the start. `deposit`: share of the price paid with the order. `customers`, `suppliers` (one a part): terms from shipping
    and from delivery; `customer_days`, `supplier_days` (Q,): the same in working days, on average. `rent`, `fixed`: of a year.
    `without_lot` (Q,): parts without a delivery lot, of which one delivery comes a day; `taken` (Q,): parts that
    a product takes. `before`: what ran before the start. `notes`: what is not given, and
    what is taken instead.
    """

    calendar: WorkCalendar
    cash: float
    price: Floats
    deposit: float
    customers: Term
    customer_days: float
    part_price: Floats
    suppliers: tuple[Term, ...]
    supplier_days: Floats
    per_delivery: Floats
    crews: tuple[CrewPay, ...]
    rent: float
    fixed: float
    without_lot: NDArray[np.bool_]
    taken: NDArray[np.bool_]
    before: Before
    notes: tuple[str, ...] = ()


def cash_terms(accounts: Accounts, *, draw: int | None = None) -> CashTerms:
    """What is paid for what, and when? Parameters: `draw`, which of the equally likely draws is taken for true (None: the values themselves).

    Errors: CannotCount, saying all that the line file lacks (see `lacking_for_cash`).
    """
    return _Reading(accounts, draw).terms()


@dataclass(frozen=True)
class _Reading:
    accounts: Accounts
    draw: int | None

    def value(self, *path: str | int) -> float:
        return drawn(self.accounts.flow.givens.figure(path), self.draw)

    def term(self, path: Path | None) -> tuple[Term, float]:
        """The term of a field, and how many working days it is on average."""
        if path is None:
            return AT_ONCE, 0.0
        givens = self.accounts.flow.givens
        day = drawn(givens.day_seconds(), self.draw)
        term = term_of(self.value(*path), givens.figure(path).unit, day)
        return term, drawn(givens.span_days(path), self.draw)

    def terms(self) -> CashTerms:
        line, ground = self.accounts.flow.line, self.accounts.ground
        lacking = lacking_for_cash(line)
        money = line.money
        if lacking or money is None:
            raise CannotCount(lacking)
        customers, customer_days = self.term(
            ("money", "customers_pay_after") if money.customers_pay_after is not None else None
        )
        uses = {use.part for product in line.products for use in product.uses}
        suppliers = [self.term(paid_after(line, p)) for p in range(len(line.parts))]
        return CashTerms(
            calendar=line.work_calendar,
            cash=self.value("money", "cash"),
            price=np.array(
                [
                    0.0 if one.price is None else self.value("products", k, "price")
                    for k, one in enumerate(line.products)
                ]
            ),
            deposit=0.0 if money.deposit is None else self.value("money", "deposit"),
            customers=customers,
            customer_days=customer_days,
            part_price=np.array([self.value("parts", p, "price") for p in range(len(line.parts))]),
            suppliers=tuple(term for term, _ in suppliers),
            supplier_days=np.array([days for _, days in suppliers]),
            per_delivery=np.array([self.per_delivery(p) for p in range(len(line.parts))]),
            crews=self.crews(),
            rent=drawn(self.accounts.floor.whole, self.draw) * drawn(ground.rent, self.draw),
            fixed=0.0 if money.fixed_costs is None else self.value("money", "fixed_costs"),
            without_lot=np.array([part.delivery_lot is None for part in line.parts], bool),
            taken=np.array([part.name in uses for part in line.parts], bool),
            before=self.before(),
            notes=self.notes(),
        )

    def per_delivery(self, p: int) -> float:
        line = self.accounts.flow.line
        at = supplier_of(line, p)
        if at is None or line.suppliers[at].per_delivery is None:
            return 0.0
        return self.value("suppliers", at, "per_delivery")

    def crews(self) -> tuple[CrewPay, ...]:
        """A crew without a wage counts at the mean of the others, as in the accounts."""
        wage = drawn(self.accounts.ground.wage, self.draw)
        return tuple(
            CrewPay(
                crew.name,
                crew.number * (wage if crew.wage is None else self.value("people", c, "wage")),
                None if crew.shifts is None else frozenset(crew.shifts),
            )
            for c, crew in enumerate(self.accounts.flow.line.people)
        )

    def before(self) -> Before:
        flow, ground = self.accounts.flow, self.accounts.ground
        sold = np.array([drawn(rate, self.draw) for rate in flow.rates.products]) * drawn(flow.made, self.draw)
        bought, deliveries = np.zeros(len(flow.line.parts)), np.zeros(len(flow.line.parts))
        for one in ground.parts:
            bought[one.part] = drawn(one.bought, self.draw)
            cost = delivery_cost(flow, one)
            deliveries[one.part] = 0.0 if cost is None else drawn(cost, self.draw)
        return Before(sold, bought, deliveries)

    def notes(self) -> tuple[str, ...]:
        flow, ground = self.accounts.flow, self.accounts.ground
        line, money = flow.line, flow.line.money
        at_once = paid_at_once(flow, ground.parts)
        unpriced = [one.name for one in line.products if one.price is None]
        said = (
            (money is None or money.customers_pay_after is None, "When customers pay is not given: they count as paying at once."),
            (bool(at_once), f"When {', '.join(at_once)} {'is' if len(at_once) == 1 else 'are'} paid is not given: at once, it is assumed."),
            (bool(unpriced), f"{', '.join(unpriced)}: no price, and nobody pulls it; what is shipped of it brings nothing."),
            (not line.people, "No people are given: no wages are paid here."),
            (money is None or money.floor_rent is None, "No rent is given: floor costs nothing here."),
            (money is None or money.fixed_costs is None, "No fixed costs are given: none are paid here."),
        )  # fmt: skip
        wages = wage_notes(flow) if line.people else ()
        return (*(words for lacks, words in said if lacks), *wages)

"""The waste of propagation: what each loss costs once today's way of working is signed off for everybody it is meant for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.rows import Account, total
from pullwright.figure import Figure, Source, derive, given
from pullwright.line.kinds import KINDS, KindKey


@dataclass(frozen=True, slots=True)
class Spread:
    """One waste: what it costs here in a year, and everywhere over the years that the way of working is meant for."""

    kind: KindKey
    words: str
    here: Figure
    everywhere: Figure


@dataclass(frozen=True, slots=True)
class Propagation:
    """What making an imperfect way of working everybody's costs.

    `multiple`: how many times this line it is meant for; `years`: over how many years; `factor`: worth today of one coin a year over those
    years; `rows`: waste by waste; `total`: all of it; `tenth`: what it is worth to take a tenth of the waste out before signing.
    """

    multiple: Figure
    years: Figure
    factor: Figure
    rows: tuple[Spread, ...]
    total: Figure
    tenth: Figure
    note: str


def propagation(ground: Ground, year: Account) -> Propagation:
    """What does each waste cost when today's way is signed off for all the people, lines and years that it is meant for?

    Cost a year x multiple x present worth of one a year over n years at the carrying rate r, (1 - (1 + r)^-n) / r. The multiple is people
    meant / people here where people are given, else the number of lines.
    """
    standard, givens = ground.flow.line.standard, ground.flow.givens
    note = ""
    if standard is None:
        note = "Whom this way of working is meant for is not given (`standard`): it counts for this line and one year."
        source = Source("common practice", "without `standard`: this line, one year")
        multiple, years = (
            given("times this line", 1.0, "1", source),
            given("years it is meant for", 1.0, "year", source),
        )
    else:
        years = givens.number(("standard", "years"), standard.years, "year")
        lines = givens.number(("standard", "lines"), standard.lines, "1")
        multiple = derive("times this line", lambda n: n * 1.0, lines, unit="1", formula="lines that it is meant for")
        if standard.people is not None:
            people = givens.number(("standard", "people"), standard.people, "persons")
            multiple = derive(
                "times this line",
                lambda n, here: n / here,
                people,
                ground.staff.people,
                unit="1",
                formula="people it is meant for / people here",
            )
    rate = ground.carrying_rate
    factor = derive(
        "worth today of one a year",
        annuity,
        rate,
        years,
        unit="1",
        formula="(1 - (1 + r)^-n) / r; n where there is no rate",
    )
    rows = []
    for kind in KINDS:
        if not kind.waste:
            continue
        here_cost = year.row(kind.key).amount
        everywhere = derive(
            f"signed off / {kind.words}",
            lambda c, m, f: c * m * f,
            here_cost,
            multiple,
            factor,
            unit="money",
            formula="cost a year x times this line x worth today of one a year",
        )
        rows.append(Spread(kind.key, kind.words, here_cost, everywhere))
    whole = total("signed off / all wastes", [row.everywhere for row in rows], "money")
    tenth = derive(
        "worth of taking a tenth out first",
        lambda t: t / 10,
        whole,
        unit="money",
        formula="a tenth of what all wastes cost once they are everybody's",
    )
    return Propagation(multiple, years, factor, tuple(rows), whole, tenth, note)


def annuity(rate: Any, years: Any) -> Any:
    """What is one coin a year worth today, over so many years, at this yearly rate? (1 - (1 + r)^-n) / r; n where there is no rate.

    Paid at the end of each year (the present worth of an annuity, common practice).

    >>> round(float(annuity(0.10, 2)), 4)  # 1 / 1.1 + 1 / 1.1²
    1.7355
    >>> float(annuity(0.0, 7))
    7.0
    """
    rates, times = np.asarray(rate, dtype=float), np.asarray(years, dtype=float)
    safe = np.where(rates > 1e-9, rates, 1.0)
    return np.where(rates > 1e-9, -np.expm1(-times * np.log1p(safe)) / safe, times)

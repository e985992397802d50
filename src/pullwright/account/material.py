"""The material account: everything that is bought is shipped in good units, scrapped, piled up, or not explained."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pullwright.account.ahead import ahead_of, growth_at
from pullwright.account.rows import Account, close, total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow


@dataclass(frozen=True, slots=True)
class PartFlow:
    """One part in a working day (pieces/wd): used, of it in good units, scrapped; gone into growing piles; bought."""

    part: int
    used: Figure
    good: Figure
    scrapped: Figure
    piled: Figure
    bought: Figure


def part_flows(flow: Flow) -> tuple[PartFlow, ...]:
    """What becomes of every part that the products use?"""
    return tuple(found for p in range(len(flow.line.parts)) if (found := _part(flow, p)) is not None)


def _part(flow: Flow, p: int) -> PartFlow | None:
    line, givens = flow.line, flow.givens
    part = line.parts[p]
    index = {step.name: i for i, step in enumerate(line.steps)}
    fresh: list[Figure] = []
    needed: list[Figure] = []
    used_at: dict[int, list[Figure]] = {}
    for k, product in enumerate(line.products):
        way = next(way for way in flow.rates.ways if product.name in way.products)
        for u, use in enumerate(product.uses):
            i = index[use.at]
            if use.part != part.name or i not in way.fresh:
                continue
            quantity = givens.figure(("products", k, "uses", u, "quantity"))
            fresh += [flow.rates.products[k], way.fresh[i], quantity]
            needed += [flow.rates.products[k], way.needed[i], quantity]
            used_at.setdefault(i, []).extend([flow.rates.products[k], way.fresh[i], quantity])
    if not fresh:
        return None
    used = _sum(
        f"used a day / {part.name}",
        flow.made,
        fresh,
        "demand, as far as made, x pieces taken fresh for one good unit x quantity",
    )
    good = _sum(
        f"in good units a day / {part.name}",
        flow.made,
        needed,
        "demand, as far as made, x pieces needed for one good unit x quantity",
    )
    scrapped = derive(
        f"scrapped a day / {part.name}",
        lambda u, g: u - g,
        used,
        good,
        unit="pieces/wd",
        formula="used - in good units",
    )
    piled: list[Figure] = []
    for ahead in ahead_of(flow):
        inner = [figure for i, figures in used_at.items() if i in ahead.steps for figure in figures]
        if inner:
            piled.append(
                derive(
                    f"piled up a day / {part.name} / {ahead.stock.words}",
                    lambda m, s, *v: s * m * _triples(v),
                    flow.made,
                    ahead.share,
                    *inner,
                    unit="pieces/wd",
                    formula="used by the steps before x growth / pieces taken",
                )
            )
    own = next((stock for stock in flow.stocks if stock.kind == "part" and stock.part == p), None)
    if own is not None and (growth := growth_at(flow, own)) is not None:
        piled.append(growth)
    heap = total(
        f"piled up a day / {part.name}", piled, "pieces/wd", why_none="no pile that holds this part is known to grow"
    )
    if part.bought is not None:
        bought = givens.per_day(("parts", p, "bought"))
    else:
        bought = derive(
            f"bought a day / {part.name}",
            lambda u, h: u + h,
            used,
            heap,
            unit="pieces/wd",
            formula="used + piled up (no purchases are given)",
        )
    return PartFlow(p, used, good, scrapped, heap, bought)


def _sum(name: str, made: Figure, triples: list[Figure], formula: str) -> Figure:
    return derive(name, lambda m, *v: m * _triples(v), made, *triples, unit="pieces/wd", formula=formula)


def _triples(values: tuple[Any, ...]) -> Any:
    return sum(values[k] * values[k + 1] * values[k + 2] for k in range(0, len(values), 3))


def material_account(flow: Flow) -> Account:
    """Where does the bought material of a working day go, in money?"""
    return _account(flow, "material", "Material bought in a working day", "money/wd", "price", "no product uses a part")


def mass_account(flow: Flow) -> Account | None:
    """Where does the bought material of a working day go, in kilograms? None unless every part that is used has a mass."""
    flows = part_flows(flow)
    if not flows or any(flow.line.parts[one.part].mass is None for one in flows):
        return None
    return _account(flow, "mass", "Mass bought in a working day", "kg/wd", "mass", "no product uses a part")


def _account(flow: Flow, key: Any, title: str, unit: str, worth: str, none: str) -> Account:
    flows = part_flows(flow)
    columns = {"good": "in good units", "scrapped": "scrapped", "piled": "piled up", "bought": "bought"}
    found: dict[str, list[Figure]] = {column: [] for column in columns}
    for one in flows:
        each = flow.givens.figure(("parts", one.part, worth))
        name = flow.line.parts[one.part].name
        for column, words in columns.items():
            found[column].append(
                derive(
                    f"{key} / {words} / {name}",
                    lambda n, w: n * w,
                    getattr(one, column),
                    each,
                    unit=unit,
                    formula=f"pieces a day x {worth}",
                )
            )
    sums = {column: total(f"{key} / {words}", found[column], unit, why_none=none) for column, words in columns.items()}
    notes = () if flow.line.parts else ("No parts are given in the line file: this account is empty.",)
    return close(
        key, title, sums["bought"],
        [
            ("value", "shipped in good units", "value", sums["good"], tuple(found["good"])),
            ("again", "scrapped", "again", sums["scrapped"], tuple(found["scrapped"])),
            ("ahead", "grown stock", "ahead", sums["piled"], tuple(found["piled"])),
        ],
        notes=notes,
    )  # fmt: skip

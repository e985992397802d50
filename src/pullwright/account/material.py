"""The material account: everything that is bought is shipped in good units, scrapped, piled up, or not explained."""

from __future__ import annotations

from typing import Literal

from pullwright.account.ground import Ground
from pullwright.account.rows import Account, Entry, close, total
from pullwright.figure import Figure, derive

COLUMNS = {
    "good": "in good units",
    "scrapped": "scrapped",
    "piled": "piled up",
    "drawn": "taken out of stock",
    "untraced": "no trace",
    "bought": "bought",
}


def material_account(ground: Ground) -> Account:
    """Where does the bought material of a working day go, in money?"""
    return _account(ground, "material", "Material bought in a working day", "money/wd", "price")


def mass_account(ground: Ground) -> Account | None:
    """Where does the bought material of a working day go, in kilograms? None unless every part that is used has a mass."""
    if not ground.parts or any(ground.flow.line.parts[one.part].mass is None for one in ground.parts):
        return None
    return _account(ground, "mass", "Mass bought in a working day", "kg/wd", "mass")


def _account(ground: Ground, key: Literal["material", "mass"], title: str, unit: str, worth: str) -> Account:
    flow = ground.flow
    found: dict[str, list[Figure]] = {column: [] for column in COLUMNS}
    for one in ground.parts:
        each = flow.givens.figure(("parts", one.part, worth))
        name = flow.line.parts[one.part].name
        for column, words in COLUMNS.items():
            sign = -1.0 if column == "drawn" else 1.0
            found[column].append(
                derive(
                    f"{key} / {words} / {name}",
                    lambda n, w, sign=sign: sign * n * w,
                    getattr(one, column),
                    each,
                    unit=unit,
                    formula=f"{'- ' if column == 'drawn' else ''}pieces a day x {worth}",
                )
            )
    sums = {
        column: total(f"{key} / {words}", found[column], unit, why_none="no part is used or bought")
        for column, words in COLUMNS.items()
        if column != "untraced"
    }
    rows: list[Entry] = [
        ("value", "shipped in good units", "value", sums["good"], tuple(found["good"])),
        ("again", "scrapped", "again", sums["scrapped"], tuple(found["scrapped"])),
        ("ahead", "grown stock", "ahead", sums["piled"], tuple(found["piled"])),
    ]
    if any(not one.drawn.certain or one.drawn.value > 0 for one in ground.parts):
        rows.append(("drawn", "taken out of stock", "needed", sums["drawn"], tuple(found["drawn"])))
    notes = () if flow.line.parts else ("No parts are given in the line file: this account is empty.",)
    return close(key, title, sums["bought"], rows, notes=notes, unexplained=tuple(found["untraced"]))

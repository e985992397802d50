"""The card rule of the trade: what is asked for until a card is back with full hands, some safety, in containers.

Sugimori, Kusunoki, Cho & Uchikawa 1977, Toyota production system and kanban system, International Journal of Production Research 15;
Monden, Toyota Production System, the chapter on the number of cards (both from memory; worked examples are recomputed in the tests).
"""

from __future__ import annotations

from typing import Any

import numpy as np

FUZZ = 1e-9
"""What is above a whole number by less than this part of it came from rounding in the computer: 55.000000001 containers are 55."""


def rounded_up(number: Any) -> Any:
    """How many whole ones are that? Rounded up, but not for what only the computer's own rounding has added.

    >>> float(rounded_up(4.2)), float(rounded_up(0.55 * 100))
    (5.0, 55.0)
    """
    amount = np.asarray(number, dtype=float)
    return np.ceil(amount - FUZZ * np.maximum(np.abs(np.where(np.isfinite(amount), amount, 0.0)), 1.0))


def needed_by_rule(demand: Any, lead: Any, safety: Any, holds: Any) -> Any:
    """How many containers does the rule ask for before they are made whole? D L (1 + safety) / pieces in a container.

    `demand` in pieces a working day, `lead` in working days, `safety` as a share of what is asked for meanwhile, `holds` in pieces. Nothing asked
    for needs nothing, however long it takes.

    >>> float(needed_by_rule(400.0, 0.25, 0.5, 20.0))
    7.5
    """
    some = np.asarray(demand) > 0
    return np.where(some, np.asarray(demand) * np.where(some, lead, 0.0) * (1 + np.asarray(safety)) / holds, 0.0)


def cards_by_rule(demand: Any, lead: Any, safety: Any, holds: Any, lot: Any = 0.0) -> Any:
    """How many cards does the rule give a loop?

    Parameters: `demand` (pieces a working day), `lead` (working days from a card that is free to the full container in its place), `safety` (share of
    what is asked for meanwhile), `holds` (pieces in a container), `lot` (pieces that are made at a time where that is more than one container; the
    trigger point is then below the lot). Result: whole cards; at least 1 where anything is asked for, 0 where nothing is. Numbers or arrays.
    Source: Sugimori et al. 1977; Monden, Toyota Production System (from memory).

    >>> float(cards_by_rule(400.0, 0.2, 0.1, 20.0)), float(cards_by_rule(400.0, 0.2, 0.1, 20.0, lot=100.0)), float(cards_by_rule(0.0, 0.2, 0.1, 20.0))
    (5.0, 10.0, 0.0)
    """
    some = np.asarray(demand) > 0
    trigger = np.maximum(rounded_up(needed_by_rule(demand, lead, safety, holds)), 1.0)
    return np.where(some, trigger + rounded_up(np.asarray(lot) / holds), 0.0)

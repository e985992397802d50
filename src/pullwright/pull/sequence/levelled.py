"""The most even sequence of an aim, by whichever way is exact for it: products by assignment, parts by goal chasing and what comes after it."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.pull.sequence.aim import Aim, Order
from pullwright.pull.sequence.goal_chasing import even_parts
from pullwright.pull.sequence.rate_variation import even_products


@dataclass(frozen=True, slots=True)
class Levelled:
    """A sequence, its squared deviations (pieces²), what no sequence can undercut, and who found it."""

    order: Order
    squares: float
    at_least: float
    by: str

    @property
    def proven(self) -> bool:
        """Is it proven that no sequence is more even?"""
        return self.squares <= self.at_least * (1 + 1e-9) + 1e-12


def levelled(aim: Aim) -> Levelled:
    """In which order does the day come most evenly, where set-ups do not matter?

    >>> "".join("abc"[i] for i in levelled(Aim.of_products([1, 2, 3])).order)
    'cbacbc'
    """
    if aim.by_products and len(set(aim.weights)) <= 1:
        even = even_products(aim)
        return Levelled(even.order, even.squares, even.squares if even.proven else 0.0, "assignment")
    parts = even_parts(aim)
    return Levelled(parts.order, parts.squares, parts.at_least, parts.by)

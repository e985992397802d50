"""Signals of a step that makes lots: at which container is the next lot asked for, so that what is left lasts until it is there?

Monden, Toyota Production System, the chapter on signal cards (from memory): the signal hangs on a container of the pile; when that is taken, it goes to the step,
which makes a lot. In stock terms an order point and an order quantity, both in whole containers.
"""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.pull.cards.card_rule import rounded_up


@dataclass(frozen=True, slots=True)
class Signal:
    """`lot`: containers that are made at a time; `trigger`: containers that are left when the signal goes; `holds`: pieces in one.

    >>> signal = Signal(lot=4, trigger=2, holds=14)
    >>> signal.most, signal.pieces_left, signal.pieces_made
    (6, 28, 56)
    """

    lot: int
    trigger: int
    holds: int

    @property
    def most(self) -> int:
        """Containers that can lie there at most: full ones and those being made."""
        return self.lot + self.trigger

    @property
    def pieces_left(self) -> int:
        """Pieces that are left when the signal goes."""
        return self.trigger * self.holds

    @property
    def pieces_made(self) -> int:
        """Pieces in a lot."""
        return self.lot * self.holds

    @property
    def says(self) -> str:
        """What stands on the signal card, in one sentence."""
        left = (
            "the last container is empty"
            if self.trigger == 0
            else f"{_containers(self.trigger)} ({self.pieces_left} pieces) are left"
            if self.trigger > 1
            else f"one container ({self.pieces_left} pieces) is left"
        )
        return f"When {left}, make {_containers(self.lot)} ({self.pieces_made} pieces)."


def lot_in_containers(lot: float, holds: int) -> int:
    """How many full containers is a lot of so many pieces? Rounded up: the last one is filled too.

    >>> lot_in_containers(56, 14), lot_in_containers(60, 14)
    (4, 5)
    """
    return max(int(rounded_up(lot / holds)), 1)


def _containers(number: int) -> str:
    return "1 container" if number == 1 else f"{number} containers"

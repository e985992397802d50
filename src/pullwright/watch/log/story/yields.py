"""What comes out good: first-pass yield, scrap, what is held, rework, pieces lost along the way, rolled yield."""

from __future__ import annotations

from dataclasses import dataclass

from .measured import Measured


@dataclass(frozen=True, slots=True)
class StepYield:
    """Pieces of one step. Shares come with Wilson intervals; `count` of each is the pieces looked at.

    `first_pass`: share of pieces that were good at the first visit, neither scrapped nor held nor done again; `scrap`
    and `held`: shares of all pieces done; `rework`: share of visits that were done again (booked as rework, or back
    after another step). `lost` are pieces that the step before gave and this one did not take on, where both book pieces.
    """

    step: str
    good: float
    scrapped: float
    held_pieces: float
    first_pass: Measured
    scrap: Measured
    held: Measured
    rework: Measured
    lost: float
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Yields:
    """Yields of all steps that book pieces, in usual order; `rolled` multiplies the first-pass yields of the main steps."""

    steps: tuple[StepYield, ...]
    rolled: Measured
    scrap: Measured
    rework_cases: int
    cases: int
    says_pieces: bool
    rows: tuple[int, ...]
    found: str

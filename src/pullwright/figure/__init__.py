"""Figures: numbers that answer why, and say how sure they are."""

from pullwright.figure.derive import derive, derive_many
from pullwright.figure.draws import N_DRAWS, Draws
from pullwright.figure.faults import FigureError
from pullwright.figure.given import from_counts, from_draws, from_readings, given, judged, variation_from_readings
from pullwright.figure.number import Figure
from pullwright.figure.source import Reading, Source
from pullwright.figure.wording import Parts

__all__ = [
    "N_DRAWS",
    "Draws",
    "Figure",
    "FigureError",
    "Parts",
    "Reading",
    "Source",
    "derive",
    "derive_many",
    "from_counts",
    "from_draws",
    "from_readings",
    "given",
    "judged",
    "variation_from_readings",
]

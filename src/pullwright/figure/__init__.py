"""Figures: numbers that answer why, and say how sure they are."""

from pullwright.figure.advice import Advice, watch_next
from pullwright.figure.draws import N_DRAWS, Draws
from pullwright.figure.faults import FigureError
from pullwright.figure.givens import from_counts, from_draws, from_readings, given, judged, variation_from_readings
from pullwright.figure.number import Figure
from pullwright.figure.propagation import derive, derive_many
from pullwright.figure.source import Reading, Source
from pullwright.figure.spread import Share, share_of_uncertainty
from pullwright.figure.units import PER, UNITS, unit_named
from pullwright.figure.why import Why
from pullwright.figure.wording import Parts, number_text, parts, percent, spans_text

__all__ = [
    "N_DRAWS",
    "PER",
    "UNITS",
    "Advice",
    "Draws",
    "Figure",
    "FigureError",
    "Parts",
    "Reading",
    "Share",
    "Source",
    "Why",
    "derive",
    "derive_many",
    "from_counts",
    "from_draws",
    "from_readings",
    "given",
    "judged",
    "number_text",
    "parts",
    "percent",
    "share_of_uncertainty",
    "spans_text",
    "unit_named",
    "variation_from_readings",
    "watch_next",
]

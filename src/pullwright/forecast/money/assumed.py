"""What is taken where neither the line file nor a run says it: one table, shown in the docs and beside every statement."""

from __future__ import annotations

from typing import Literal

AssumedKey = Literal[
    "day",
    "term",
    "order of a day",
    "pay day",
    "rent day",
    "fixed costs day",
    "deliveries",
    "before",
    "open orders",
    "end",
]

ASSUMED: dict[AssumedKey, str] = {
    "day": "Working day n of a run is the n-th working day of the calendar from the start; a run's day is an average one, however long that date's is.",
    "term": "A term runs from the date of shipping or delivery; parts of a day count as a day; it may end on a Sunday.",
    "order of a day": "All that is paid on one date is paid together: cash counts at the end of the day.",
    "pay day": "Wages are paid on the last working day of a month, for all paid time since the last one; a day off costs nothing.",
    "rent day": "Rent is paid on the first of a month, ahead, a twelfth of a year's.",
    "fixed costs day": "Fixed costs are paid on the last day of a month, a twelfth of a year's.",
    "deliveries": "What a delivery costs besides the goods is paid with them. Of a part without a delivery lot, all that comes on a day comes in one delivery.",
    "before": "Before the start as much was sold, bought and delivered each working day as the flow says of today's line.",
    "open orders": "At the start nobody has paid ahead: a run begins without open orders.",
    "end": "The horizon ends with the last working day of the run; what falls due after it is still owed then.",
}
"""key: what is taken."""

"""The takt that a plan is made for: the wished one, or that of the demand."""

from __future__ import annotations

from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.pull.errors import BadPlanInput


def wished_takt(flow: Flow) -> Figure:
    """In which time (s) has everybody to get round: as wished in `plan.balance.takt`, or as customers pull? BadPlanInput where that is 0."""
    plan = flow.line.plan
    takt = flow.takt if plan is None or plan.balance.takt is None else flow.givens.figure(("plan", "balance", "takt"))
    if not takt.value > 0:
        raise BadPlanInput("the takt is 0 s; allowed: a time above 0 s")
    return takt

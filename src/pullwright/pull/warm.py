"""What a plan needs compiled is compiled once after an installation: better before somebody waits for a plan than then."""

from __future__ import annotations

_SMALL = """
line: three steps
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: piece, demand: 100 /d}]
stations: [{name: saw}, {name: bench}]
steps:
  - {name: cut, station: saw, machine: {low: 40 s, likely: 45 s, high: 60 s}, lot: 20, set_up: {time: 15 min}}
  - {name: fit, station: bench, manual: {low: 60 s, likely: 70 s, high: 90 s}}
  - {name: pack, station: bench, manual: 30 s}
"""


def warm_up_plan() -> None:
    """Make the kernels of a plan ready: compile them, or read what was kept of the last time. Returns when they are."""
    import numpy as np

    from pullwright.account import accounts_of
    from pullwright.line import Line
    from pullwright.pull.balance.visited_search import made_ready
    from pullwright.pull.lots.improving_kernel import improve
    from pullwright.pull.plan import plan_of

    plan_of(accounts_of(Line.from_text(_SMALL))).cards.figures()
    made_ready()
    # Four products: fewer than a line needs for it, and enough for the kernel.
    improve(np.ones((4, 4)), np.arange(4), 1e-9)

"""How much is still searched: counted in steps of the solver, not by the clock, so that an answer is the same on a slow machine as on a quick one."""

from __future__ import annotations

from typing import Any

_UNITS_A_SECOND = 0.3
"""The solver counts its own steps; about so many of its units go into a second of an ordinary processor (measured, roughly)."""
_ASKED = 0.01
"""What a question costs beside its search (s)."""


class Effort:
    """So many seconds of searching on an ordinary processor, taken together over many questions.

    >>> effort = Effort(2.0)
    >>> effort.spend(0.5)
    >>> effort.left
    1.5
    """

    def __init__(self, seconds: float) -> None:
        self.left = seconds

    def spend(self, seconds: float) -> None:
        """Take this much away."""
        self.left -= seconds

    def part(self, seconds: float) -> Effort:
        """An effort of at most so much, which is taken away from here at once; `back` gives back what was left of it."""
        given = max(0.0, min(seconds, self.left))
        self.left -= given
        return Effort(given)

    def back(self, part: Effort) -> None:
        """Give back what was left of a part."""
        self.left += max(0.0, part.left)

    def solve(self, solver: Any, model: Any) -> Any:
        """Let CP-SAT look for as long as there is effort left, and take away what it needed; its status.

        The clock is there for a solver that hangs, and far beyond what any search of this effort takes.
        """
        solver.parameters.max_deterministic_time = max(self.left, 0.0) * _UNITS_A_SECOND
        solver.parameters.max_time_in_seconds = 60.0 + 20 * max(self.left, 0.0)
        status = solver.solve(model)
        self.spend(_ASKED + solver.response_proto.deterministic_time / _UNITS_A_SECOND)
        return status

"""What was said at the line and cannot be understood: what was read, what is wrong with it, what may stand there, what to do."""

from __future__ import annotations


class MisreadError(ValueError):
    """Something that was said cannot be understood.

    `read` is what was read, `problem` what is wrong with it, `allowed` what may stand there, `todo` what to do about it.

    >>> print(MisreadError("round 9", "was not planned", "1 to 6", "plan more rounds first"))
    round 9 was not planned (allowed: 1 to 6); plan more rounds first
    """

    def __init__(self, read: str, problem: str, allowed: str, todo: str = "") -> None:
        self.read, self.problem, self.allowed, self.todo = read, problem, allowed, todo
        said = f"{read} {problem} (allowed: {allowed})"
        super().__init__(f"{said}; {todo}" if todo else said)

    def __reduce__(self) -> tuple[type[MisreadError], tuple[str, str, str, str]]:
        return type(self), (self.read, self.problem, self.allowed, self.todo)


class SampleError(MisreadError):
    """Something that was said of an activity sampling cannot be understood, or cannot be had."""


class CountError(MisreadError):
    """Something that was said of a round of counting cannot be understood."""


class IntoLineError(MisreadError):
    """What was watched does not fit the line file that it should go into."""

"""What a plan may answer instead of a plan: something was typed wrong, or no such plan exists."""

from __future__ import annotations


class BadPlanInput(ValueError):  # noqa: N818  (says what happened)
    """What was given contradicts itself or is not allowed; the message says what was read, what is allowed and what to do."""


class NoSuchPlan(ValueError):  # noqa: N818  (says what happened)
    """No plan keeps all that is asked; the message names the smallest set of wishes that cannot hold together.

    `binding`: those wishes, each as one sentence. `instead`: the nearest thing that does work, as one sentence; empty where none was found.
    `works`: what of that is a single wish, by its name and as it is typed, such as `("balance.posts", "7")`.
    """

    def __init__(
        self, message: str, binding: tuple[str, ...] = (), instead: str = "", works: tuple[tuple[str, str], ...] = ()
    ) -> None:
        self.binding, self.instead, self.works = binding, instead, works
        super().__init__(message)

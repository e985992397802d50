"""How a time may vary from piece to piece: the shapes that a line file may name, and the cv that goes with each."""

from __future__ import annotations

from typing import Literal, get_args

Distribution = Literal["constant", "exponential", "lognormal", "gamma", "weibull", "triangular", "empirical"]
DISTRIBUTIONS: tuple[Distribution, ...] = get_args(Distribution)

OWN_CV: dict[Distribution, float] = {"constant": 0.0, "exponential": 1.0}
"""Shapes that have one cv and no other."""

WIDEST_TRIANGLE = 0.707
"""A triangle on times from 0 on, with its likeliest time at 0, has standard deviation / mean = 1 / sqrt(2); none is wider."""


def unfit(shape: Distribution, cv: float | None, *, read: bool) -> str:
    """Why can a distribution not have this cv? Empty where it can; `read`: its readings are given.

    >>> unfit("exponential", 0.2, read=False)
    'the cv of the exponential distribution is 1; leave cv out'
    >>> unfit("lognormal", 0.2, read=False)
    ''
    """
    if shape == "empirical":
        return "" if read else "the empirical distribution needs readings or a study"
    if shape in OWN_CV:
        return (
            ""
            if cv in (None, OWN_CV[shape])
            else f"the cv of the {shape} distribution is {OWN_CV[shape]:g}; leave cv out"
        )
    if cv is None:
        return "" if read else f"the {shape} distribution needs a cv"
    if shape == "triangular" and cv > WIDEST_TRIANGLE:
        return f"the cv of a triangular distribution is at most {WIDEST_TRIANGLE}; lognormal or gamma may have more"
    return "" if cv > 0 else f"the cv of the {shape} distribution is above 0; constant has 0"

"""How many pieces lie in a container: as many as are wished, as hands may lift, and as the place has room for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, isfinite

from pullwright.pull.errors import BadPlanInput, NoSuchPlan

CAUTION_FROM = 23.0
"""Containers of this mass (kg) or more get a caution: the load constant of the lifting equation (Waters et al. 1993, from memory)."""


@dataclass(frozen=True, slots=True)
class Limit:
    """What lets no more than so many pieces into a container: `words` say it as a person would ("12 kg that hands may lift")."""

    words: str
    pieces: float


@dataclass(frozen=True, slots=True)
class Holding:
    """Pieces in a container, and what says so: the wish, or the limit that is below it."""

    pieces: int
    because: str


def lift_limit(heaviest: float, mass: float, empty: float = 0.0) -> Limit:
    """How many pieces of `mass` (kg) may a container hold that is lifted by hand and may weigh `heaviest` (kg), `empty` (kg) itself?

    The mass that may be lifted hangs on reach, height, turning, grip and how often; it is a wish here, and local rules come first.

    >>> lift_limit(12.0, 3.1).pieces
    3
    """
    for words, value in (("the heaviest container", heaviest), ("a piece", mass), ("an empty container", empty)):
        if not (isfinite(value) and value >= 0) or (words != "an empty container" and value == 0):
            raise BadPlanInput(
                f"{words} was given {value:g} kg; allowed: a mass above 0 kg (an empty container: from 0 kg on)"
            )
    return Limit(f"{heaviest:g} kg that hands may lift", max(floor((heaviest - empty) / mass + 1e-9), 0))


def room_limit(capacity: float, place: str) -> Limit:
    """How many pieces may a container hold that has to stand in a place with room for `capacity` pieces?"""
    return Limit(f"room for {capacity:g} pieces {place}", max(floor(capacity + 1e-9), 0))


def nearest(wished: float, why: str, limits: Sequence[Limit]) -> Holding:
    """How many pieces does a container hold: as many as wished, or as the tightest limit lets in?

    Errors: NoSuchPlan where not even one piece may lie in it, naming the limits that forbid it.

    >>> nearest(14, "as today", [lift_limit(20.0, 3.1)])
    Holding(pieces=6, because='20 kg that hands may lift')
    """
    if not wished >= 1:
        raise BadPlanInput(f"a container of {wished:g} pieces was read; allowed: 1 or more")
    shut = [limit for limit in limits if limit.pieces < 1]
    if shut:
        raise NoSuchPlan(
            f"No container: {' and '.join(limit.words for limit in shut)} let not even one piece in.",
            binding=tuple(f"{limit.words}: no piece." for limit in shut),
            instead="Carry it with a lifting aid, or make room for one piece at least.",
        )
    tightest = min(limits, key=lambda limit: limit.pieces, default=None)
    if tightest is None or tightest.pieces >= wished:
        return Holding(int(wished), why)
    return Holding(int(tightest.pieces), tightest.words)


def container(wished: float, why: str, limits: Sequence[Limit]) -> Holding:
    """The same for a size that somebody insists on.

    Errors: NoSuchPlan where a limit is below the wish: it names each such limit and the nearest size that fits.

    >>> container(40, "wished", [room_limit(28, "before weld base")])
    Traceback (most recent call last):
        ...
    pullwright.pull.errors.NoSuchPlan: A container of 40 pieces does not go with room for 28 pieces before weld base. 28 pieces would fit.
    """
    found = nearest(wished, why, limits)
    if found.pieces >= wished:
        return found
    broken = [limit for limit in limits if limit.pieces < wished]
    instead = f"{found.pieces} {'piece' if found.pieces == 1 else 'pieces'} would fit."
    raise NoSuchPlan(
        f"A container of {wished:g} pieces does not go with {' and '.join(limit.words for limit in broken)}. {instead}",
        binding=tuple(f"A container holds at most {limit.pieces:g} pieces: {limit.words}." for limit in broken),
        instead=instead,
    )


def is_heavy(weight: float) -> bool:
    """Does a full container of so many kg need a caution?"""
    return weight >= CAUTION_FROM


def caution(pieces: int, mass: float) -> str:
    """What has to be said of a full container of so many pieces of `mass` (kg) that hands may lift? Empty where it is light.

    >>> caution(14, 0.1), caution(10, 3.1)[:40]
    ('', 'A full container weighs 31 kg: whether a')
    """
    weight = pieces * mass
    if not is_heavy(weight):
        return ""
    return f"A full container weighs {weight:.3g} kg: whether and how anybody may lift it by hand, local rules and whoever is licensed for safety at work say."

"""What becomes of a piece at a step: good the first time, scrapped, or done again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow.givens import Givens

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Losses:
    """What becomes of a piece at one step: shares that are good the first time, scrapped, and done again (None where there are none)."""

    first_pass: Figure
    scrap: Figure | None
    rework: Figure | None


def losses_of(givens: Givens, i: int) -> Losses:
    """What share of the pieces at step `i` is good the first time, scrapped, done again?

    Of first-pass yield, scrap and rework a file gives as many as are known, and the missing one is what is left of 1. Where only the
    first-pass yield is given, the rest is scrap; where scrap is given beside it, what is left is put right on the spot.
    """
    step = givens.line.steps[i]
    path = ("steps", i)
    scrap = None if step.scrap is None else givens.figure((*path, "scrap"))
    again = None if step.rework is None else givens.figure((*path, "rework", "share"))
    name = f"first-pass yield / {step.name}"
    if step.first_pass_yield is None:
        lost = tuple(figure for figure in (scrap, again) if figure is not None)
        if not lost:
            nothing = given(name, 1.0, "share", Source("computed", f"no scrap and no rework is given for {step.name}"))
            return Losses(nothing, None, None)
        words = ("scrap",) * (scrap is not None) + ("rework",) * (again is not None)
        return Losses(_what_is_left(name, lost, words), scrap, again)
    first = givens.figure((*path, "first_pass_yield"))
    if again is not None:
        scrap = scrap or _what_is_left(f"scrap / {step.name}", (first, again), ("first-pass yield", "rework"))
    elif scrap is None:
        scrap = _what_is_left(f"scrap / {step.name}", (first,), ("first-pass yield",))
    elif 1 - first.value - scrap.value > _ROUNDING:
        again = _what_is_left(f"put right on the spot / {step.name}", (first, scrap), ("first-pass yield", "scrap"))
    return Losses(first, scrap, again)


def stays(givens: Givens, i: int) -> bool:
    """Is what is done again at step `i` put right where it is? Otherwise it goes back to a step, and takes its way again."""
    rework = givens.line.steps[i].rework
    return rework is None or rework.to is None


def good_share(scrap: Any, gone_back: Any) -> Any:
    """Which share of the pieces started goes on? 1 - scrap - what goes back; at least a millionth.

    A draw of counted shares may leave next to nothing good; the millionth keeps the arithmetic finite.
    """
    return np.maximum(1.0 - scrap - gone_back, 1e-6)


def _what_is_left(name: str, shares: tuple[Figure, ...], words: tuple[str, ...]) -> Figure:
    return derive(
        name, lambda *v: np.maximum(1 - sum(v), 0.0), *shares, unit="share", formula=" - ".join(["1", *words])
    )

"""What would figures be if some of those below them had other values? Only what stands on these is worked out again."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

import numpy as np

from pullwright.figure.draws import Draws
from pullwright.figure.number import Figure, Recipe
from pullwright.figure.propagation import aligned


def standing_on(ordered: Sequence[Figure], changed: Collection[Figure]) -> list[Figure]:
    """Which of these figures (inputs first) are made from the changed ones, over however many steps? In the same order."""
    met, found = set(changed), []
    for one in ordered:
        if one._recipe is not None and one not in met and any(given in met for given in one.inputs):
            met.add(one)
            found.append(one)
    return found


def worked_out_again(
    above: Sequence[Figure], changed: Mapping[Figure, Draws], *, likely: bool = False
) -> dict[Figure, Draws]:
    """The rows of figures if some below them had these rows.

    Parameters: `above`, the figures that stand on the changed ones, inputs first (see `standing_on`); `changed`, a row for each figure that changes; a figure that is
    made from others may be among them. `likely`: all that does not change keeps its value, else its draws. Result: the rows of all that are above, and of the changed
    ones. A figure made without a function keeps its own.

    >>> from pullwright.figure import Source, derive, given
    >>> from pullwright.figure.walk import inputs_first
    >>> work, takt = given("work", 90.0, "s", Source("count", "work")), given("takt", 60.0, "s", Source("count", "takt"))
    >>> load = derive("load", lambda w, t: w / t, work, takt, unit="share", formula="work / takt")
    >>> changed = {work: np.array([30.0, 45.0])}
    >>> worked_out_again(standing_on(inputs_first(load), changed), changed, likely=True)[load].tolist()
    [0.5, 0.75]
    """
    found: dict[Figure, Draws] = dict(changed)
    together: dict[Recipe, Any] = {}
    with np.errstate(all="ignore"):
        for one in above:
            recipe = one._recipe
            assert recipe is not None
            if recipe not in together:
                rows = [
                    found[given] if given in found else np.array([given.value]) if likely else given.draws
                    for given in one.inputs
                ]
                together[recipe] = recipe.function(*aligned(rows, max(row.size for row in rows)))
            result = together[recipe][one._which] if recipe.many else together[recipe]
            found[one] = np.atleast_1d(np.asarray(result, dtype=np.float64))
    return found

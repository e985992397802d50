"""From figures to a figure: one plain function carries the values and the draws alike (JCGM 101:2008)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from pullwright.figure.draws import Draws, any_nan, constant
from pullwright.figure.faults import FigureError
from pullwright.figure.number import Figure, Recipe
from pullwright.figure.source import Source

_HINT = "write it so that it works number by number on whole arrays (np.where for a choice, np.maximum for a larger)"


def derive(
    name: str,
    function: Callable[..., Any],
    *inputs: Figure,
    unit: str,
    formula: str,
    source: Source | None = None,
    note: str = "",
) -> Figure:
    """What follows from these figures, and how sure is it?

    Parameters: `function` of as many arguments as there are `inputs`; it gets floats for the values and arrays of
    equal length for the draws, and must work number by number. `unit` of the result; `formula` in words.
    Result: a figure whose value is function(values), not the mean of the draws. Certain inputs give a certain figure.
    Infinite results are kept ("without end").
    Errors: `FigureError` naming the figure and its inputs where the result is not a number (NaN), has the wrong
    shape, or the function cannot take arrays.
    Source: JCGM 101:2008, propagation of distributions by a Monte Carlo method.

    >>> from pullwright.figure import Source, given, judged
    >>> time = judged("honing", 40.0, 45.0, 60.0, "s", Source("line file", "steps.hone.machine"))
    >>> takt = given("takt time", 60.0, "s", Source("line file", "demand"))
    >>> derive("load", lambda t, k: t / k, time, takt, unit="share", formula="time / takt time").text()
    '75 % (70 to 94)'
    """
    count = _count(name, inputs)
    with np.errstate(all="ignore"):
        value = _one_value(name, inputs, _call(name, inputs, function, [np.float64(given.value) for given in inputs]))
        if count == 1:
            draws = constant(value)
        else:
            result = _call(name, inputs, function, aligned([given.draws for given in inputs], count))
            draws = _row(name, inputs, result, count, value)
    _refuse_nan(name, inputs, value, draws)
    return Figure(name, value, unit, draws, formula, inputs, source, note, _recipe=Recipe(function))


def derive_many(
    names: Sequence[str],
    function: Callable[..., Any],
    *inputs: Figure,
    units: Sequence[str],
    formulas: Sequence[str],
    source: Source | None = None,
    notes: Sequence[str] = (),
) -> tuple[Figure, ...]:
    """What several figures follow together from these, as from one set of equations?

    Parameters: `function` gets arrays of equal length, shape (n,): n = 1 for the values, then n = number of draws;
    it returns as many results as there are `names`, each of shape (n,) or one number. `units`, `formulas` and (if
    given) `notes` go with the names.
    Result: one figure per name. Errors: as for `derive`.

    >>> from pullwright.figure import Source, given
    >>> total = given("both", 10.0, "pieces", Source("count", "both"))
    >>> more = given("difference", 2.0, "pieces", Source("count", "difference"))
    >>> left, right = derive_many(
    ...     ("left", "right"), lambda s, d: ((s + d) / 2, (s - d) / 2), total, more,
    ...     units=("pieces", "pieces"), formulas=("half of both and difference", "half of both less difference"),
    ... )
    >>> left.text(), right.text()
    ('6 pieces', '4 pieces')
    """
    together = " and ".join(names)
    if not len(names) == len(units) == len(formulas) or (notes and len(notes) != len(names)):
        raise FigureError(
            f"{together}: {len(names)} names, {len(units)} units, {len(formulas)} formulas and {len(notes)} notes "
            "were read; give one of each per name (notes may be left out)"
        )
    count = _count(together, inputs)
    with np.errstate(all="ignore"):
        found = _call(together, inputs, function, [constant(given.value) for given in inputs])
        values = [_one_value(name, inputs, one) for name, one in _each(together, names, found)]
        rows = [constant(value) for value in values]
        if count > 1:
            found = _call(together, inputs, function, aligned([given.draws for given in inputs], count))
            rows = [
                _row(name, inputs, one, count, value)
                for (name, one), value in zip(_each(together, names, found), values, strict=True)
            ]
    recipe = Recipe(function, many=True)
    figures = []
    for which, (name, value, draws) in enumerate(zip(names, values, rows, strict=True)):
        _refuse_nan(name, inputs, value, draws)
        note = notes[which] if notes else ""
        figures.append(
            Figure(
                name, value, units[which], draws, formulas[which], inputs, source, note, _recipe=recipe, _which=which
            )
        )
    return tuple(figures)


def aligned(draws: Sequence[Draws], count: int) -> list[Draws]:
    """The draws side by side, certain ones repeated, all of length count."""
    return [row if row.size == count else np.full(count, row[0]) for row in draws]


def _count(name: str, inputs: Sequence[Figure]) -> int:
    for place, given in enumerate(inputs, 1):
        if not isinstance(given, Figure):
            raise FigureError(
                f"{name}: input {place} is {given!r}, not a figure; wrap it with given(...) and its source"
            )
    counts = {given.draws.size for given in inputs} - {1}
    if len(counts) > 1:
        told = ", ".join(f"{given.name} has {given.draws.size}" for given in inputs)
        raise FigureError(
            f"{name}: its inputs have unequal numbers of draws ({told}); make them all with the same draws="
        )
    return counts.pop() if counts else 1


def _call(name: str, inputs: Sequence[Figure], function: Callable[..., Any], arguments: Sequence[Any]) -> Any:
    try:
        return function(*arguments)
    except (TypeError, ValueError, ArithmeticError) as fault:
        if type(fault).__module__.partition(".")[0] not in ("builtins", "numpy"):
            raise  # a room's own error says it better
        raise FigureError(f"{name}, from {_told(inputs)}: its function failed ({fault}); {_HINT}") from fault


def _each(name: str, names: Sequence[str], found: Any) -> list[tuple[str, Any]]:
    results = list(found)
    if len(results) != len(names):
        raise FigureError(f"{name}: the function gave {len(results)} results for {len(names)} names; give one per name")
    return list(zip(names, results, strict=True))


def _one_value(name: str, inputs: Sequence[Figure], result: Any) -> float:
    if isinstance(result, float):  # numpy's own floats too
        return float(result)
    row = np.asarray(result, dtype=np.float64)
    if row.size != 1:
        raise FigureError(
            f"{name}, from {_told(inputs)}: one value was due, an array of shape {row.shape} came; {_HINT}"
        )
    return float(row.item())


def _row(name: str, inputs: Sequence[Figure], result: Any, count: int, value: float) -> Draws:
    row = np.array(result, dtype=np.float64)  # a copy: nobody else may change a figure's draws
    if row.shape == (count,):
        row.setflags(write=False)
        return row
    if row.size == 1 and (row.item() == value or np.isnan(row.item())):
        return constant(float(row.item()))
    if row.size == 1:
        raise FigureError(
            f"{name}, from {_told(inputs)}: one number ({row.item():g}) came for {count} draws, and it is "
            f"not the value ({value:g}); {_HINT}"
        )
    raise FigureError(
        f"{name}, from {_told(inputs)}: {count} draws were due, an array of shape {row.shape} came; {_HINT}"
    )


def _refuse_nan(name: str, inputs: Sequence[Figure], value: float, draws: Draws) -> None:
    if value == value and not any_nan(draws):
        return
    if value != value:
        case = ", ".join(f"{given.name} = {given.value:g} {given.unit}" for given in inputs)
        raise FigureError(
            f"{name} is not a number with {case or 'no inputs'}; look for 0 / 0 or infinite less infinite"
        )
    bad = np.flatnonzero(np.isnan(draws))
    case = ", ".join(f"{given.name} = {given.draws[bad[0] % given.draws.size]:g} {given.unit}" for given in inputs)
    raise FigureError(
        f"{name} is not a number in {bad.size} of {draws.size} draws, such as with {case}; "
        "look for 0 / 0 or infinite less infinite, and say in the function what holds there"
    )


def _told(inputs: Sequence[Figure]) -> str:
    return ", ".join(given.name for given in inputs) or "no inputs"

"""What to watch next: which study, reading or judgement narrows a figure most, and by how much."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf, isinf, sqrt

from pullwright.figure.again import standing_on, worked_out_again
from pullwright.figure.draws import quantiles
from pullwright.figure.faults import FigureError
from pullwright.figure.number import Evidence, Figure
from pullwright.figure.spread import leaves
from pullwright.figure.walk import inputs_first
from pullwright.figure.wording import spans_text

_CANDIDATES_PER_ROW = 2  # first-order shares miss what acts together, so more are worked out than are shown
_WORTH_SAYING = 0.005


@dataclass(frozen=True, slots=True)
class Way:
    """How what we know of a given figure is made surer: the words for it, and how many at once."""

    asks: str  # with {more}, {name} and {source}
    counted: str
    times: float  # so many times what is known already; 3 halves the spread
    most: int


WAYS: dict[str, Way] = {
    "readings": Way("Take about {more} more readings of {name}{source}", "readings", 3.0, 60),
    "pieces": Way("Check about {more} more pieces for {name}{source}", "pieces", 1.0, 500),
    "judged": Way("Take {more} readings of {name}{source} instead of judging it", "readings", 20.0, 60),
    "unknown": Way("Find out more about {name}{source}: about {more} times what is known now", "times", 3.0, 60),
    "one": Way(
        "Take {more} more readings of {name}{source}: one reading cannot tell how sure it is", "readings", 9.0, 60
    ),
}


@dataclass(frozen=True, slots=True)
class Advice:
    """One way to be surer of `about`: watch `figure`, with so many `more` (counted in `counted`).

    `now` and `then` are the interval of `about` at present and afterwards, in its unit. `gain` is the part of the
    interval's width that goes (0 to 1), `share` the first-order share of the spread, `kind` a row of `WAYS`.
    """

    figure: Figure
    about: Figure
    kind: str
    more: int
    counted: str
    now: tuple[float, float]
    then: tuple[float, float]
    gain: float
    share: float
    sentence: str

    def __str__(self) -> str:
        return self.sentence


def watch_next(
    figure: Figure, *, most: int = 5, more: int | None = None, level: float = 0.9, currency: str = "EUR"
) -> tuple[Advice, ...]:
    """Which study, reading or judgement should be sharpened first, and how far does that narrow the answer?

    Parameters: `most`, how many rows; `more`, how many more readings or pieces to think of (None: as many as halve
    what that given figure leaves open, within reason); `level` of the interval; `currency` printed for money.
    Result: rows with the largest gain first. Given figures that rest on one reading follow, since nobody can say
    what they hide. A certain figure made from certain ones: ().
    Method: more readings shrink what is unknown of a mean by sqrt(n / (n + more)); the given figure's draws are
    drawn together about its value by that much, and every formula above is worked out again. A judgement counts as
    one reading whose spread is that of the judgement (common practice).
    Errors: `FigureError` for `more` below 1.

    >>> from pullwright.figure import Source, derive, from_readings
    >>> hone = from_readings("honing", [40.0, 52.0, 45.0, 49.0, 44.0], "s", Source("study", "study T-014"))
    >>> pack = from_readings("packing", [30.0, 31.0, 30.5], "s", Source("study", "study T-015"))
    >>> touch = derive("touch time", lambda a, b: a + b, hone, pack, unit="s", formula="honing + packing")
    >>> print(watch_next(touch)[0])
    Take about 15 more readings of honing (study T-014): narrows touch time from 72.0–81.0 s to 74.0–79.0 s.
    """
    if more is not None and more < 1:
        raise FigureError(
            f"{more} more readings were asked for; ask for 1 or more, or None for as many as are sensible"
        )
    now = figure.interval(level)
    shares = {share.figure: share.share for share in figure.share_of_uncertainty() if share.figure is not None}
    chosen = sorted(leaves(figure), key=lambda leaf: -shares.get(leaf, 0.0))[: most * _CANDIDATES_PER_ROW]
    ordered = inputs_first(figure)
    rows = []
    for leaf in chosen:
        kind, known = _known(leaf)
        extra = more or _sensible(kind, known)
        shrunk = leaf.value + (leaf.draws - leaf.value) * sqrt(known / (known + extra))
        again = worked_out_again(standing_on(ordered, (leaf,)), {leaf: shrunk})
        after = again.get(figure, figure.draws)
        low, high = quantiles(after, (1 - level) / 2, (1 + level) / 2)
        then = (low, high)
        gain = _gain(now, then)
        if gain >= _WORTH_SAYING:
            rows.append(_advice(leaf, figure, kind, extra, now, then, gain, shares.get(leaf, 0.0), currency))
    rows.sort(key=lambda row: (-row.gain, -row.share, row.figure.name))
    blind = [one for one in ordered if one._evidence == Evidence("readings", 1) and one.certain]
    rows.extend(
        _advice(leaf, figure, "one", more or _sensible("one", 1), now, now, 0.0, 0.0, currency) for leaf in blind
    )
    return tuple(rows[:most])


def _known(leaf: Figure) -> tuple[str, float]:
    evidence = leaf._evidence
    return ("unknown", 1.0) if evidence is None else (evidence.kind, evidence.count)


def _sensible(kind: str, known: float) -> int:
    way = WAYS[kind]
    return max(1, min(ceil(way.times * known), way.most))


def _gain(now: tuple[float, float], then: tuple[float, float]) -> float:
    before, after = now[1] - now[0], then[1] - then[0]
    if isinf(before) or before != before:
        return 1.0 if after < inf else 0.0
    return 1 - after / before if before > 0 else 0.0


def _advice(
    leaf: Figure,
    figure: Figure,
    kind: str,
    more: int,
    now: tuple[float, float],
    then: tuple[float, float],
    gain: float,
    share: float,
    currency: str,
) -> Advice:
    source = f" ({leaf.source.text})" if leaf.source and leaf.name not in leaf.source.text else ""
    sentence = WAYS[kind].asks.format(more=more, name=leaf.name, source=source)
    if gain > 0:
        before, after = spans_text((now, then), figure.unit, currency)
        sentence += f": narrows {figure.name} from {before} to {after}"
    return Advice(leaf, figure, kind, more, WAYS[kind].counted, now, then, gain, share, sentence + ".")

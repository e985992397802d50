"""What people were seen doing: shares of the paid time by activity sampling, and where they contradict what was computed."""

from __future__ import annotations

from pullwright.figure import Figure, Reading, Source, derive, from_counts
from pullwright.flow import Flow
from pullwright.line.kinds import BY_KEY, KindKey

_SEEN: tuple[KindKey, ...] = ("value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead")
_UNIT = "person-s/wd"


def seen_shares(flow: Flow) -> dict[KindKey, Figure]:
    """Which share of the looks found each kind of work? Empty where nobody looked.

    Looks are spread over the whole paid time; one that finds a break or a meeting counts as needed. Looks that are worth
    fewer (people stand together) give the same share and a wider spread.
    """
    samples = flow.line.samples
    looks = sum(sample.looks for sample in samples)
    if not looks:
        return {}
    worth = sum(min(sample.worth or sample.looks, sample.looks) for sample in samples) / looks
    return {
        kind: from_counts(
            f"looks that found {BY_KEY[kind].words}",
            sum(getattr(sample, kind) for sample in samples) * worth,
            looks * worth,
            "share",
            _source(flow, kind, looks),
        )
        for kind in _SEEN
    }


def _source(flow: Flow, kind: KindKey, looks: int) -> Source:
    """The rounds behind a share, each with the looks that found it."""
    samples = flow.line.samples
    places = [flow.givens.source(("samples", k)) for k in range(len(samples))]
    readings = tuple(
        Reading(float(getattr(sample, kind)), "looks", str(sample.on or ""), sample.who, place.place, sample.from_)
        for sample, place in zip(samples, places, strict=True)
    )
    rounds = "1 round" if len(samples) == 1 else f"{len(samples)} rounds"
    said = f"activity sampling, {rounds}, {looks} {'look' if looks == 1 else 'looks'} in all"
    worth = sum(min(sample.worth or sample.looks, sample.looks) for sample in samples)
    if worth < looks:
        said += f", worth {worth} taken one by one"
    return Source("count", said, places[0].file, places[0].line, readings)


def sampled_time(name: str, share: Figure, paid: Figure) -> Figure:
    """How much of the paid time is that share of the looks (person-s/wd)?"""
    return derive(
        name, lambda s, p: s * p, share, paid, unit=_UNIT, formula=f"share of {share.name} x paid time"
    )  # fmt: skip


def contradictions(seen: dict[KindKey, Figure], found: dict[KindKey, Figure], paid: Figure) -> tuple[Figure, ...]:
    """Where do the looks contradict the computed rows (person-s/wd)? Together that is what is not explained.

    Kind by kind what was seen less what was found, above or below 0; and the looks that found none of the kinds.
    """
    if not seen:
        return ()
    parts = [
        derive(
            f"hours / {BY_KEY[kind].words} / seen beyond what was found",
            lambda s, p, f: s * p - f,
            seen[kind],
            paid,
            found[kind],
            unit=_UNIT,
            formula="share of the looks x paid time - what was found",
        )
        for kind in _SEEN
        if kind in found
    ]
    other = derive(
        "hours / looks that found nothing of the kind",
        lambda p, *s: p * (1 - sum(s)),
        paid,
        *seen.values(),
        unit=_UNIT,
        formula="(1 - shares of the looks that found something) x paid time",
    )
    return (*parts, other)

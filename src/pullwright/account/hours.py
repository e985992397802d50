"""The hours account: every paid person-hour of a working day stands in one row."""

from __future__ import annotations

import numpy as np

from pullwright.account.ahead import ahead_of
from pullwright.account.carrying import carrying_hours, overflow_hours
from pullwright.account.rows import Account, close, total
from pullwright.figure import Figure, Source, derive, from_counts
from pullwright.flow import Flow
from pullwright.line.kinds import BY_KEY, KindKey

_UNIT = "person-s/wd"


def hours_account(flow: Flow) -> Account:
    """Where do the paid hours of a working day go?

    Attended work is split by what it is for; carrying and growing piles are added; what is left of the paid time is waiting (for work, for
    machines, for repair). Where people were sampled, waiting is what was seen, and what the two do not agree on is "not explained".
    """
    people, made = flow.people, flow.made
    by_kind: dict[KindKey, list[Figure]] = {}
    for i, kinds in people.by_step.items():
        for kind, figure in kinds.items():
            name = f"hours / {flow.line.steps[i].name} / {BY_KEY[kind].words}"
            by_kind.setdefault(kind, []).append(
                derive(
                    name,
                    lambda w, m: w * m,
                    figure,
                    made,
                    unit=_UNIT,
                    formula="attended a day x share of the demand that can be made",
                )
            )
    by_kind.setdefault("needed", []).append(people.pauses)
    by_kind.setdefault("moving", []).extend([*carrying_hours(flow), *overflow_hours(flow)])
    by_kind["ahead"] = [_ahead(flow, n) for n in range(len(ahead_of(flow)))]
    work = {
        kind: total(
            f"hours / {BY_KEY[kind].words}", by_kind.get(kind, ()), _UNIT, why_none="no work of this kind was found"
        )
        for kind in ("value", "needed", "moving", "motion", "extra", "again", "ahead")
    }
    watching = total(
        "hours / watching machines", by_kind.get("waiting", ()), _UNIT, why_none="nobody is said to watch a machine"
    )
    idle = derive(
        "hours / paid time without work",
        lambda p, *w: p - sum(w),
        people.paid,
        *work.values(),
        watching,
        unit=_UNIT,
        formula="paid time - all work that was found",
    )
    waiting, parts = _waiting(flow, watching, idle)
    seen = _seen(flow)
    rows: list[tuple[str, str, KindKey, Figure, tuple[Figure, ...]]] = []
    for kind in ("value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead"):
        key: KindKey = kind
        amount = waiting if kind == "waiting" else work[key]
        inner = parts if kind == "waiting" else tuple(by_kind.get(key, ()))
        rows.append((kind, BY_KEY[key].words, key, amount, inner))
    if "waiting" in seen:
        sampled = derive(
            "hours / waiting, as sampled",
            lambda s, p: s * p,
            seen["waiting"],
            people.paid,
            unit=_UNIT,
            formula="share of the looks that found waiting x paid time",
        )
        rows[2] = ("waiting", BY_KEY["waiting"].words, "waiting", sampled, (sampled, *parts))
    notes = ("People are not given in the line file: as many are assumed as the work needs.",) if people.assumed else ()
    return close("hours", "Paid hours of a working day", people.paid, rows, notes=notes, seen=seen)


def _waiting(flow: Flow, watching: Figure, idle: Figure) -> tuple[Figure, tuple[Figure, ...]]:
    standing = []
    for station in flow.stations:
        if station.up is None:
            continue
        hands = [flow.people.attended[at.step.index] for at in station.steps if at.step.index in flow.people.attended]
        if hands:
            name = f"hours / waiting for the repair of {station.name}"
            standing.append(
                derive(
                    name,
                    lambda m, a, *w: m * sum(w) * (1 / a - 1),
                    flow.made,
                    station.up,
                    *hands,
                    unit=_UNIT,
                    formula="attended work there x (1 / availability - 1), as far as made",
                )
            )
    spare = derive(
        "hours / waiting at the most",
        lambda i: np.maximum(i, 0.0),
        idle,
        unit=_UNIT,
        formula="paid time without work, where there is some",
    )
    repair = derive(
        "hours / waiting for repair",
        lambda s, *w: np.minimum(s, sum(w)) if w else 0.0 * s,
        spare,
        *standing,
        unit=_UNIT,
        formula="waiting of those who attend a machine that stands still, at the most the time without work",
    )
    rest = derive(
        "hours / waiting for work",
        lambda s, r: s - r,
        spare,
        repair,
        unit=_UNIT,
        formula="paid time without work - waiting for repair (imbalance, starving, blocking)",
    )
    whole = derive(
        "hours / waiting",
        lambda *w: sum(w),
        watching,
        repair,
        rest,
        unit=_UNIT,
        formula="watching machines + waiting for repair + waiting for work",
    )
    return whole, (rest, watching, repair)


def _ahead(flow: Flow, number: int) -> Figure:
    ahead = ahead_of(flow)[number]
    hands = [flow.people.attended[i] for i in sorted(ahead.steps) if i in flow.people.attended]
    name = f"hours / made ahead / {ahead.stock.words}"
    return derive(
        name,
        lambda m, s, *w: m * s * sum(w),
        flow.made,
        ahead.share,
        *hands,
        unit=_UNIT,
        formula="attended work of all steps before x growth / pieces taken",
    )


def _seen(flow: Flow) -> dict[str, Figure]:
    samples = flow.line.samples
    looks = sum(sample.looks for sample in samples)
    if not looks:
        return {}
    first = flow.line.mark(("samples",)).line
    found = {}
    for kind in ("value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead"):
        count = sum(getattr(sample, kind) for sample in samples)
        source = Source("count", f"activity sampling, {len(samples)} rounds", file=flow.line.file, line=first)
        found[kind] = from_counts(f"looks that found {BY_KEY[kind].words}", count, looks, "share", source)
    return found

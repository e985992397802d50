"""The hours account: every paid person-hour of a working day stands in one row."""

from __future__ import annotations

from pullwright.account.ground import Ground
from pullwright.account.rows import Account, Entry, close, total
from pullwright.account.sampled import contradictions, sampled_time, seen_shares
from pullwright.account.waiting import waiting_parts, waiting_time
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.line.kinds import BY_KEY, KindKey

UNIT = "person-s/wd"
_WORK: tuple[KindKey, ...] = ("value", "needed", "moving", "motion", "extra", "again", "ahead")
_ROWS: tuple[KindKey, ...] = ("value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead")


def hours_account(ground: Ground) -> Account:
    """Where do the paid hours of a working day go?

    Attended work is split by what it is for; paid breaks and planned stops are needed; carrying and growing piles are added. Waiting is
    what people were seen to wait, or, where nobody looked, all paid time without work. Where people were sampled, what the looks and
    the computed rows do not agree on is "not explained".
    """
    flow, paid = ground.flow, ground.staff.paid
    found = _found(ground)
    work = {
        kind: total(
            f"hours / {BY_KEY[kind].words}", found.get(kind, ()), UNIT, why_none="no work of this kind was found"
        )
        for kind in _WORK
    }
    watching = total(
        "hours / watching and waiting at the steps", found.get("waiting", ()), UNIT, why_none="nobody is said to wait or to watch a machine"
    )  # fmt: skip
    seen = seen_shares(flow)
    if seen:
        waiting = sampled_time("hours / waiting", seen["waiting"], paid)
    else:
        waiting = waiting_time(paid, watching, tuple(work.values()))
    amounts = {**work, "waiting": waiting}
    inner = {**{kind: tuple(found.get(kind, ())) for kind in _WORK}, "waiting": waiting_parts(flow, waiting, watching)}
    rows: list[Entry] = [(kind, BY_KEY[kind].words, kind, amounts[kind], inner[kind]) for kind in _ROWS]
    return close(
        "hours",
        "Paid hours of a working day",
        paid,
        rows,
        notes=_notes(flow),
        seen={str(kind): share for kind, share in seen.items()},
        unexplained=contradictions(seen, work, paid),
    )


def _found(ground: Ground) -> dict[KindKey, list[Figure]]:
    """All work that was found, by what it is for."""
    flow = ground.flow
    found: dict[KindKey, list[Figure]] = {}
    for i, kinds in flow.people.by_step.items():
        for kind, figure in kinds.items():
            found.setdefault(kind, []).append(
                derive(
                    f"hours / {flow.line.steps[i].name} / {BY_KEY[kind].words}",
                    lambda w, m: w * m,
                    figure,
                    flow.made,
                    unit=UNIT,
                    formula="attended a day x share of the demand that can be made",
                )
            )
    found.setdefault("needed", []).append(ground.staff.pauses)
    found.setdefault("moving", []).extend(ground.carrying)
    found["ahead"] = list(ground.made_ahead)
    return found


def _notes(flow: Flow) -> tuple[str, ...]:
    if not flow.people.assumed:
        return ()
    return ("People are not given in the line file: as many are assumed as the work needs.",)

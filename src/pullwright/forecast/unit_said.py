"""What one unit met on its way, in a sentence that a foreman would say."""

from __future__ import annotations

from collections import defaultdict

from pullwright.forecast.one_unit import Unit

MOST_NAMED = 2
"""Steps before which it waited that are named one by one."""


def working_time(seconds: float, day: float) -> str:
    """A length of working time as people say it; from a working day on, in working days of `day` seconds.

    >>> working_time(45, 28_800), working_time(6_000, 28_800), working_time(7_200, 28_800), working_time(86_400, 28_800)
    ('45 s', '1 h 40 min', '2 h', '3 d')
    """
    if seconds < 120:
        return f"{seconds:.3g} s"
    if seconds >= day:
        return f"{seconds / day:.3g} d" if seconds < 1000 * day else f"{seconds / day:,.0f} d"
    minutes = round(seconds / 60)
    hours, rest = divmod(minutes, 60)
    return " ".join(part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest else "") if part)


def unit_sentence(unit: Unit, day: float, kind: str = "usual") -> str:
    """How long did it take, and what of that was work, waiting, being held and being on its way?"""
    waits: defaultdict[str, float] = defaultdict(float)
    others: defaultdict[str, float] = defaultdict(float)
    for stay in unit.stays:
        (waits if stay.doing == "waits" else others)[stay.step if stay.doing == "waits" else stay.doing] += stay.seconds
    named = sorted(waits.items(), key=lambda one: -one[1])[:MOST_NAMED]
    rest = sum(waits.values()) - sum(seconds for _, seconds in named)
    said = [f"{working_time(unit.touched, day)} of work"]
    said += [f"{working_time(seconds, day)} waiting before {step}" for step, seconds in named]
    if rest > 0:
        said.append(f"{working_time(rest, day)} waiting elsewhere")
    if others["is held"] > 0:
        said.append(f"{working_time(others['is held'], day)} held for want of room")
    if others["is on its way"] > 0:
        said.append(f"{working_time(others['is on its way'], day)} on its way between steps")
    joined = ", ".join(said[:-1]) + (" and " if len(said) > 1 else "") + said[-1]
    return f"A {kind} unit takes {working_time(unit.seconds, day)}: {joined}."

"""Guesses which columns hold when something began, ended or was noted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pullwright.watch.log.header_words import folded, header_score
from pullwright.watch.log.plan import Candidate
from pullwright.watch.log.profile import Profile
from pullwright.watch.log.roles import Role
from pullwright.watch.log.time_forms import day_comes_first, forms_in, read_times

if TYPE_CHECKING:
    import polars as pl

Scores = dict[tuple[Role, str], Candidate]
TIMES: tuple[Role, ...] = ("start", "end", "moment")


@dataclass(frozen=True, slots=True)
class Times:
    """What was found out about the columns of times."""

    roles: Mapping[Role, tuple[str, ...]]
    scores: Scores
    day_first: bool
    forms: Mapping[str, str]
    questions: tuple[str, ...]


def times_of(profiles: Mapping[str, Profile], sample: pl.DataFrame) -> Times:
    """Which columns say when? Separate columns of dates and times of day are put together."""
    whole = {n: p for n, p in profiles.items() if _is_time(p)}
    clocks = {
        n: p for n, p in profiles.items() if p.clocks > 0.8 and n not in whole and header_score(n, "span")[0] < 0.8
    }
    dates = [n for n, p in whole.items() if p.dates_only > 0.95]
    scores: Scores = {}
    for name, one in {**whole, **clocks}.items():
        for role in TIMES:
            header, phrase = header_score(name, role)
            why = f"{one.times:.0%} of it are moments" if one.times else "counts of seconds or days" if one.numeric_times else "times of day stand there"  # fmt: skip
            if header:
                scores[role, name] = Candidate(
                    name, round(0.72 * header + 0.28, 3), f"the header says {phrase!r}; {why}"
                )
            else:
                scores[role, name] = Candidate(name, 0.3, why)
    roles: dict[Role, tuple[str, ...]] = {}
    used: set[str] = set()
    pool = {n for n in whole if n not in dates} if (clocks and dates) else set(whole)
    for role, name in _ranked(scores, pool | (set(clocks) if dates else set()), ("start", "end")):
        if role not in roles and name not in used and scores[role, name].confidence >= 0.6:
            roles[role] = (name,)
            used.add(name)
    _by_order(roles, used, pool, scores, sample)
    if "start" not in roles and "end" not in roles:
        for _, name in _ranked(scores, pool | (set(clocks) if dates else set()), ("moment",)):
            roles["moment"] = (name,)
            break
    for role, names in list(roles.items()):
        if names[0] in clocks and dates:
            roles[role] = (_date_for(role, names[0], dates), names[0])
    texts = [text for name in whole for text in profiles[name].texts if profiles[name].times > 0.5]
    day_first, sure = day_comes_first(texts)
    questions = [] if sure else [f"Does the day or the month come first in {next((t for t in texts if t[:1].isdigit()), '')}? The data do not tell; the day is taken."]  # fmt: skip
    forms = {}
    for name, one in whole.items():
        if one.times > 0.5:
            found = forms_in(one.texts, day_first=day_first)
            forms[name] = "; ".join(form.words for form, _ in found[:4]) or "moments"
        else:
            forms[name] = "; ".join(words for words, _ in read_times(sample[name], day_first=True).forms)
    return Times(roles, scores, day_first, forms, tuple(questions))


def _is_time(one: Profile) -> bool:
    if one.times > 0.5:
        return True
    if not one.numeric_times:
        return False
    return max(header_score(one.name, role)[0] for role in TIMES) >= 0.5


def _ranked(scores: Scores, names: set[str], roles: tuple[Role, ...]) -> list[tuple[Role, str]]:
    some = [(role, name) for role, name in scores if role in roles and name in names]
    return sorted(some, key=lambda pair: -scores[pair].confidence)


def _by_order(
    roles: dict[Role, tuple[str, ...]], used: set[str], pool: set[str], scores: Scores, sample: pl.DataFrame
) -> None:
    """Two columns of moments of which at most one is named: the earlier one is the start."""
    left = [name for name in sample.columns if name in pool and name not in used]
    if len(roles) == 2 or not left:
        return
    if len(roles) == 1:
        known, name = next(iter(roles)), left[0]
        if header_score(name, "moment")[0] >= 0.8 and len(left) > 1:
            name = left[1]
        a, b = (roles[known][0], name) if known == "start" else (name, roles[known][0])
        if _before(sample, a, b) > 0.8:
            other: Role = "end" if known == "start" else "start"
            roles[other] = (name,)
            scores[other, name] = Candidate(name, 0.55, f"it is {'after' if other == 'end' else 'before'} {roles[known][0]} in nearly all rows")  # fmt: skip
        return
    if len(left) >= 2:
        a, b = left[:2]
        if _before(sample, a, b) < _before(sample, b, a):
            a, b = b, a
        if _before(sample, a, b) > 0.8:
            roles["start"], roles["end"] = (a,), (b,)
            scores["start", a] = Candidate(a, 0.55, f"it is before {b} in nearly all rows")
            scores["end", b] = Candidate(b, 0.55, f"it is after {a} in nearly all rows")


def _before(sample: pl.DataFrame, a: str, b: str) -> float:
    first, second = (read_times(sample[name], day_first=True).at for name in (a, b))
    both = (first.is_not_null() & second.is_not_null()).sum()
    return float((first <= second).sum()) / float(both) if both else 0.0


def _date_for(role: Role, clock: str, dates: list[str]) -> str:
    """The date that belongs to a time of day: the one whose header has a word of the same role, else the first."""
    named = [name for name in dates if header_score(name, role)[0] >= 0.5 and header_score(name, role)[0] >= max(header_score(name, other)[0] for other in ("start", "end") if other != role)]  # fmt: skip
    words = set(folded(clock).split())
    pool = named or dates
    return max(pool, key=lambda name: len(words & set(folded(name).split())))

"""Guesses what the columns of a log are for, from what they are called and from what stands in them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from pullwright.watch.log.guess_ties import Evidence, break_ties
from pullwright.watch.log.guess_times import times_of
from pullwright.watch.log.header_words import AMOUNT, INSTANCE, TIMELY, UNIT_WORDS, folded, header_score
from pullwright.watch.log.meanings import kinds_of, phases_of
from pullwright.watch.log.numbers_read import decimal_mark
from pullwright.watch.log.plan import Candidate, ColumnPlan, Guess
from pullwright.watch.log.profile import Profile, profile, sample_of
from pullwright.watch.log.raw import RawLog
from pullwright.watch.log.roles import BY_ROLE, ROLES, Role

if TYPE_CHECKING:
    import polars as pl

    from pullwright.watch.log.events import EventKind
    from pullwright.watch.log.plan import Phase

__all__ = ["Candidate", "ColumnPlan", "Guess", "guess_columns"]
ENOUGH = 0.45
"""So sure a guess must be to be proposed."""
MOST_WORDS = 60
UNIT_ROWS = 2_000
"""So many rows are enough to see which unit agrees with end less start."""
_FLAGS = frozenset(["y", "n", "yes", "no", "true", "false", "1", "0", "x", "ja", "nein", "j", "oui", "non", "o", "si", "s", "sí", "nee"])  # fmt: skip
Scores = dict[tuple[Role, str], Candidate]


def guess_columns(raw: RawLog) -> ColumnPlan:
    """Which column is for what, how sure is that, and why? A plan to be looked over by a person; the file is not changed."""
    sample = sample_of(raw.table)
    profiles = {name: profile(sample[name]) for name in raw.headers}
    scores: Scores = {}
    for row in ROLES:
        if row.shape != "time":
            for one in profiles.values():
                found = _candidate(row.key, one)
                if found is not None:
                    scores[row.key, one.name] = found
    times = times_of(profiles, sample)
    taken: dict[Role, tuple[str, ...]] = dict(times.roles)
    used = {name for names in taken.values() for name in names}
    evidence = Evidence(sample, times.roles, day_first=times.day_first)
    break_ties(scores, evidence)
    _settle(scores, taken, used)
    _fall_back(scores, taken, used, profiles, evidence)
    _lean_on_cases(scores, taken, used, sample)
    one_moment = "moment" in taken or ("end" in taken) != ("start" in taken)
    questions = list(times.questions)
    if "lifecycle" in taken and not one_moment:
        del taken["lifecycle"]
    if "lifecycle" in taken and "moment" not in taken:
        other: Role = "start" if "start" in taken else "end"
        taken["moment"] = taken.pop(other)
    texts = [text for one in profiles.values() if one.numbers > 0.8 and not one.times > 0.5 for text in one.texts]
    decimal, sure = decimal_mark(texts, commas_part_cells="commas" in raw.form)
    if not sure:
        questions.append(f"Does the {'comma' if decimal == ',' else 'point'} in numbers such as {_with_comma(texts)} stand before decimals?")  # fmt: skip
    meanings: dict[str, EventKind] = {}
    phases: dict[str, Phase] = {}
    kind_counts: dict[str, int] = {}
    phase_counts: dict[str, int] = {}
    if "kind" in taken:
        name = taken["kind"][0]
        kind_counts = _counted(raw.table[name])
        meanings, known = kinds_of(kind_counts)
        short = all(len(word.strip()) < 3 for word in kind_counts)
        if known < len(meanings) or short:
            questions.append(f"What do the words of {name} mean? {', '.join(f'{w} as {k}' for w, k in list(meanings.items())[:8])} is only a guess.")  # fmt: skip
    if "lifecycle" in taken:
        name = taken["lifecycle"][0]
        phase_counts = _counted(raw.table[name])
        phases, known = phases_of(phase_counts)
        if known < len(phases):
            unknown = [word for word in phases if not phases_of([word])[1]]
            questions.append(f"Do {', '.join(unknown[:8])} in {name} begin something or end it? Rows with them are left out unless you say so.")  # fmt: skip
    instance = next((n for n in profiles if folded(n) in INSTANCE and "lifecycle" in taken and n not in used), "")
    plan = ColumnPlan(
        columns=raw.headers,
        roles={row.key: taken[row.key] for row in ROLES if row.key in taken},
        meanings=meanings,
        phases=phases,
        day_first=times.day_first,
        decimal=decimal,
        instance=instance,
        kind_counts=kind_counts,
        phase_counts=phase_counts,
        forms=times.forms,
        guesses=tuple(_told(row.key, taken, {**scores, **times.scores}) for row in ROLES),
    )
    unit, sure = _span_unit(plan, profiles, sample)
    if "span" in taken and not sure:
        questions.append(f"In which unit is {taken['span'][0]}? It is read as {unit}.")
    return replace(plan, span_unit=unit, questions=tuple(questions))


def _counted(column: pl.Series) -> dict[str, int]:
    """The words of a whole column with how often they come, the most frequent first: a rare one may matter most."""
    import polars as pl

    words = column.drop_nulls().cast(pl.String, strict=False).alias("word")
    counted = words.value_counts(name="times").sort("times", "word", descending=[True, False]).head(MOST_WORDS)
    return dict(counted.iter_rows())


def _candidate(role: Role, one: Profile) -> Candidate | None:
    """How well does a column suit a role, by name and content?"""
    if one.empty:
        return None
    header, phrase = header_score(one.name, role)
    content, why = _content(role, one)
    if content == 0:
        return None
    words = set(folded(one.name).split())
    shape = BY_ROLE[role].shape
    if shape == "words" and (words & AMOUNT or (words & TIMELY and role not in ("lifecycle", "kind"))):
        header *= 0.3
    reasons = [f"the header says {phrase!r}"] if header else []
    reasons.append(why)
    if header:
        return Candidate(one.name, round(0.72 * header + 0.28 * content, 3), "; ".join(reasons))
    alone = {"lifecycle": 0.6, "kind": 0.5}.get(role, 0.2)
    if role in ("lifecycle", "kind") and content < 0.95:
        alone = 0.1
    return Candidate(one.name, round(alone * content, 3), why)


def _content(role: Role, one: Profile) -> tuple[float, str]:
    shape = BY_ROLE[role].shape
    per = one.rows * one.filled / max(1, one.distinct)
    many = f"{one.distinct:,} different values in {one.rows:,} rows"
    timely = one.times > 0.5 or (one.clocks > 0.5 and one.spans > 0.5)
    if role == "kind":
        if one.distinct > 24 or timely or one.flag:
            return 0.0, ""
        meanings, known = kinds_of(one.words)
        share = known / max(1, len(meanings))
        return (0.3 + 0.7 * share if one.numbers < 0.5 else 0.2), f"{known} of its {len(meanings)} words name a kind of work"  # fmt: skip
    if role == "lifecycle":
        if one.distinct > 30 or one.numbers > 0.5 or timely:
            return 0.0, ""
        phases, known = phases_of(one.words)
        both = {"start", "end"} & set(phases.values())
        share = known / max(1, len(phases))
        if share < 0.5 or not both:
            return 0.0, ""
        return share if len(both) == 2 else 0.5, f"{known} of its {len(phases)} words say that something began or ended"
    if role == "rework":
        if one.distinct > 3 and one.numbers < 0.9:
            return 0.0, ""
        flags = one.flag or all(word.strip().lower() in _FLAGS for word in one.words)
        return (1.0 if flags else 0.6), ("it is yes or no" if flags else many)
    if shape == "words":
        if timely or one.flag or (one.numbers > 0.9 and any("," in t or "." in t for t in one.texts)):
            return 0.0, ""
        number = one.numbers > 0.9
        if role == "case":
            good = 1.0 if per >= 1.5 and one.distinct > 1 else 0.5
            return good, f"{many}, {per:.1f} rows each"
        if role in ("activity", "station"):
            good = 1.0 if per >= 2 else 0.5 if one.rows < 30 else 0.3
            return good * (0.7 if number else 1.0), many
        return (0.7 if number and role == "product" else 0.9), many
    if shape == "duration":
        if one.times > 0.5 and one.dates_only < 0.5:
            return 0.0, ""
        if max(one.spans, one.clocks) > 0.7:
            return 1.0, "hours and minutes stand there"
        return (0.8, "numbers stand there") if one.numbers > 0.8 and not one.numeric_times else (0.0, "")
    share = one.numbers if not one.numeric_times else 0.3 * one.numbers
    return (share, f"{share:.0%} of it are numbers") if share > 0.5 else (0.0, "")


def _settle(scores: Scores, taken: dict[Role, tuple[str, ...]], used: set[str]) -> None:
    """Give each role its best column, the surest first; no column has two roles."""
    for (role, name), one in sorted(scores.items(), key=lambda item: -item[1].confidence):
        if one.confidence < ENOUGH:
            break
        if role not in taken and name not in used:
            taken[role] = (name,)
            used.add(name)


def _fall_back(
    scores: Scores, taken: dict[Role, tuple[str, ...]], used: set[str], profiles: dict[str, Profile], evidence: Evidence
) -> None:
    """Find the case and the step by content alone where no header names them."""
    for role in ("case", "activity"):
        if role in taken:
            continue
        fitting: list[tuple[float, float, Profile]] = []
        reasons: dict[str, str] = {}
        for one in profiles.values():
            if one.name in used or one.empty or one.times > 0.5 or one.spans > 0.5 or one.flag or one.distinct < 2:
                continue
            if set(folded(one.name).split()) & (AMOUNT | TIMELY) or (role == "activity" and one.numbers > 0.5):
                continue
            per = one.rows * one.filled / one.distinct
            if per >= 1.5 and one.filled > 0.8:
                share, why = evidence.of(role, one.name, {r: names[0] for r, names in taken.items()})
                reasons[one.name] = why
                # Full evidence outweighs any number of rows; level evidence leaves it to that.
                fitting.append((-round(share, 1), abs(per - 12) if role == "case" else -per, one))
        if fitting and role == "case":
            best = min(fitting, key=lambda item: item[:2])[2]
        elif fitting:
            wordy = [p for p in fitting if p[2].distinct >= 3] or fitting
            best = min(wordy, key=lambda item: item[:2])[2]
        else:
            continue
        taken[role] = (best.name,)
        used.add(best.name)
        why = f"; {reasons[best.name]}" if reasons[best.name] else ""
        scores[role, best.name] = Candidate(best.name, 0.4, f"no header names it; {best.distinct:,} different values in {best.rows:,} rows{why}")  # fmt: skip
    if "activity" not in taken and "station" in taken:
        taken["activity"] = taken["station"]
        name = taken["station"][0]
        scores["activity", name] = Candidate(name, 0.4, "no column names the step; the station stands for it")


def _lean_on_cases(scores: Scores, taken: dict[Role, tuple[str, ...]], used: set[str], sample: pl.DataFrame) -> None:
    """Say where a column is the same all through a case, as a product and the pieces ordered should be."""
    if "case" not in taken:
        return
    case = taken["case"][0]
    for role in ("product", "asked"):
        if role not in taken or taken[role][0] == case:
            continue
        name = taken[role][0]
        pairs = sample.select(case, name).drop_nulls().unique()
        share = pairs[case].n_unique() / max(1, pairs.height)
        before = scores[role, name]
        sure = min(1.0, before.confidence + (0.05 if share > 0.9 else 0.0))
        scores[role, name] = Candidate(name, round(sure, 3), f"{before.reason}; the same all through {share:.0%} of the cases")  # fmt: skip


def _told(role: Role, taken: dict[Role, tuple[str, ...]], scores: Scores) -> Guess:
    some = sorted((one for (r, _), one in scores.items() if r == role), key=lambda one: -one.confidence)
    name = taken.get(role, ("",))[0]
    mine = next((one for one in some if one.column == name), None)
    others = tuple(one for one in some if one.column != name and one.confidence >= 0.15)[:5]
    if not name:
        return Guess(role, "", 0.0, "no column fits", others)
    return Guess(role, name, mine.confidence if mine else 0.5, mine.reason if mine else "", others)


def _with_comma(texts: list[str]) -> str:
    return next((text for text in texts if "," in text), "1,250")


def _span_unit(plan: ColumnPlan, profiles: dict[str, Profile], sample: pl.DataFrame) -> tuple[str, bool]:
    """The unit of durations: by the header, or by what agrees with end minus start."""
    name = plan.column("span")
    if not name:
        return "min", True
    one = profiles[name]
    colon = one.spans > 0.5 and any(t.count(":") == 1 for t in one.texts)
    words = folded(name).split()
    if not colon:
        for unit, some in UNIT_WORDS.items():
            if set(words) & set(some):
                return unit, True
    from pullwright.watch.log.numbers_read import read_spans
    from pullwright.watch.log.time_forms import read_times

    units = ("h:mm", "mm:ss") if colon else ("min", "s", "h", "d", "ms")
    if len(plan.roles.get("start", ())) == 1 and len(plan.roles.get("end", ())) == 1:
        sample = sample.head(UNIT_ROWS)
        start = read_times(sample[plan.column("start")], day_first=plan.day_first).at
        end = read_times(sample[plan.column("end")], day_first=plan.day_first).at
        seconds = (end - start).dt.total_microseconds() / 1e6
        best, most = units[0], 0.0
        for unit in units:
            read, _ = read_spans(sample[name], unit=unit, decimal=plan.decimal)
            fits = ((read - seconds).abs() <= (seconds.abs() * 0.02).clip(61.0 if unit in ("h:mm", "min") else 1.0)) & (
                seconds > 0
            )
            share = float(fits.sum()) / max(1, int((seconds > 0).sum()))
            if share > most:
                best, most = unit, share
        return best, most > 0.4
    return units[0], False

"""What a person wants found, in a few words: `fewest cards of weld base`, `smallest stores before hone bore, weld base 7..28 by 7`,
`least stock by lot of saw 14..56 by 14; cards of pack 1..6`."""

from __future__ import annotations

import re
from collections.abc import Mapping

from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.goals import GOALS, Goal
from pullwright.forecast.search.kinds import KINDS
from pullwright.forecast.search.knob import Knob, check_place
from pullwright.forecast.search.knob_text import read_knob
from pullwright.forecast.search.measures import MEASURES, Measure
from pullwright.line import Line
from pullwright.line.faults import listed, shown

LONGEST = 2_000


def read_asked(text: str, line: Line, measures: Mapping[str, Measure] = MEASURES) -> tuple[Goal, tuple[Knob, ...]]:
    """Which goal, and what may be turned for it? Where no place is named, all that the goal turns in this line; where no values are, the usual ones.

    Errors: CannotSearch.

    >>> line = Line.read("examples/hand_pump.yaml")
    >>> goal, knobs = read_asked("smallest stores before weld base, paint 14..42 by 14", line)
    >>> goal.words, [(knob.name, knob.values) for knob in knobs]
    ('smallest stores', [('room before weld base', (14, 28, 42)), ('room before paint', (14, 28, 42))])
    """
    words = " ".join(text[:LONGEST].split())
    goal, rest = _goal(words, measures)
    if rest.startswith("by "):
        knobs = tuple(read_knob(one, line) for one in rest[3:].split(";"))
    elif goal not in GOALS:
        raise CannotSearch(
            f"{shown(words)!r}: by turning what? Write `{goal.words} by cards of a step 1..12; lot of a step 10..50 by 10`"
        )
    else:
        knobs = _places(goal, rest, line)
    names = [knob.name for knob in knobs]
    if twice := [name for name in dict.fromkeys(names) if names.count(name) > 1]:
        raise CannotSearch(f"{listed(twice)} is named twice; name what may be turned once")
    return goal, knobs


def _goal(words: str, measures: Mapping[str, Measure]) -> tuple[Goal, str]:
    for goal in GOALS:
        if words == goal.words or words.startswith(goal.words + " "):
            return goal, words[len(goal.words) :].strip()
    small = {f"least {name}": name for name, measure in measures.items() if not measure.at_least}
    for said, name in small.items():
        if words == said or words.startswith(said + " "):
            return Goal(said, {}, measures[name].unit, measure=name), words[len(said) :].strip()
    allowed = listed([*(goal.words for goal in GOALS), *(f"{said} by ..." for said in small)], 20)
    raise CannotSearch(
        f"{shown(words) if words else 'nothing'} was read; what is to be found? Begin with one of: {allowed}"
    )


def _places(goal: Goal, rest: str, line: Line) -> tuple[Knob, ...]:
    """The knobs that a goal turns at the places that are named; values at the end hold for all of them."""
    if "" in goal.turns:
        return (read_knob(f"{KINDS[goal.turns['']].words} {rest}", line),)
    found: list[tuple[str, str]] = []
    kind = ""
    while word := next((one for one in goal.turns if rest.startswith(one + " ")), "" if not found else kind):
        kind = word
        rest = rest[len(word) + 1 :] if rest.startswith(word + " ") else rest
        places = KINDS[goal.turns[word]].places(line)
        name = next(
            (one for one in sorted(places, key=len, reverse=True) if re.match(re.escape(one) + r"(?=$|[ ,])", rest)),
            None,
        )
        if name is None:
            check_place(line, goal.turns[word], re.split(r"\s+[0-9]|,", rest)[0])
            break
        found.append((goal.turns[word], name))
        rest = rest[len(name) :].strip()
        if not rest.startswith(","):
            break
        rest = rest[1:].strip()
    if not found:
        found = [
            (kind, name)
            for kind in goal.turns.values()
            for name, today in KINDS[kind].places(line).items()
            if today is not None
        ]
        if rest and not re.match(r"[0-9]", rest):
            how = " or ".join(f"`{goal.words} {one} PLACE`" for one in goal.turns)
            raise CannotSearch(f"{shown(rest)!r} was read after {goal.words!r}; write {how}, with values such as 1..12")
    if not found:
        check_place(line, next(iter(goal.turns.values())), "")
    return tuple(read_knob(f"{KINDS[kind].named(name)} {rest}", line) for kind, name in found)

"""The numbers of a crew plan as figures: each answers why, down to the readings of the steps that it rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, derive_many, given
from pullwright.pull.crew.bounds import bounds_of
from pullwright.pull.crew.cover import Ways
from pullwright.pull.crew.cover_draws import chances_and_shares
from pullwright.pull.crew.neighbours import CrewPost
from pullwright.pull.crew.skills import Skills

MOST_WORK = 400_000
"""So many ways to be there are worked out for a figure, all its draws together; above that it is worked out at the likely values only."""


def people_needed(name: str, contents: Sequence[Figure], takt: Figure, words: str) -> Figure:
    """How many people does this work keep busy at the takt (persons)?"""
    return derive(
        name,
        lambda t, *work: sum(work) / t,
        takt,
        *contents,
        unit="persons",
        formula=f"{words} / takt time",
    )


def takt_kept(name: str, skills: Skills, people: Sequence[int], content: Mapping[str, Figure]) -> Figure:
    """Which takt can so many people of each crew keep, if they share the work in time (s)?"""
    bounds = bounds_of(skills)
    rooms = [sum(people[c] * skills.hands[c].there for c in bound.crews) for bound in bounds]

    def longest(*times: Any) -> Any:
        found = [
            sum(times[t] for t in bound.tasks) / room if room > 0 else np.inf + 0 * times[0]
            for bound, room in zip(bounds, rooms, strict=True)
        ]
        return np.maximum.reduce(found)

    return derive(
        name,
        longest,
        *(content[task] for task in skills.names),
        unit="s",
        formula="largest of: people's time of what only some crews can do / people in these crews, over every set of crews",
    )


def round_of(name: str, post: CrewPost, skills: Skills, content: Mapping[str, Figure]) -> Figure:
    """How long does one person at a post work on a unit (s)?"""
    there = skills.hands[skills.crews.index(post.crew)].there
    return derive(
        name,
        lambda *times: sum(times) / (post.people * there),
        *(content[task] for task in post.tasks),
        unit="s",
        formula=f"people's time of its elements / {post.people}" + (f" / {there:.3g} of the time" if there < 1 else ""),
    )


def takt_along(name: str, rounds: Sequence[Figure]) -> Figure:
    """Which takt can the posts keep (s)?"""
    return derive(
        name, lambda *each: np.maximum.reduce(list(each)), *rounds, unit="s", formula="longest round of a post"
    )


def cover_figures(
    skills: Skills, contents: Sequence[Figure], away: Sequence[Figure], takt: Figure, seed: int
) -> tuple[Figure, Figure]:
    """The chance that those who are there can make a day's demand, and the share of it that they can make on average."""
    ways, count = Ways(skills, seed=seed), len(contents)
    inputs = (*contents, *away, takt)
    names = (
        "crew / chance that those who are there can keep the takt",
        "crew / share of the demand that those who are there can make",
    )
    formulas = (
        "binomial chance of every way to be there, added up where all work fits into the time of those who can do it",
        "the same, each way with the share of the demand that fits",
    )
    draws = max(figure.draws.size for figure in inputs)

    def both(*values: Any) -> tuple[Any, Any]:
        rows = np.array(np.broadcast_arrays(*(np.atleast_1d(value) for value in values)), dtype=float).T
        return chances_and_shares(ways, rows[:, :count], rows[:, count:-1], rows[:, -1])

    if draws * max(ways.size, 1) > MOST_WORK:
        chance, share = ways.chance_and_share(
            [figure.value for figure in contents], [figure.value for figure in away], takt.value
        )
        source = Source(
            "computed", "worked out at the likely values: there are too many ways to be there for every draw"
        )
        return tuple(given(name, value, "share", source) for name, value in zip(names, (chance, share), strict=True))  # type: ignore[return-value]
    chance_figure, share_figure = derive_many(names, both, *inputs, units=("share", "share"), formulas=formulas)
    return chance_figure, share_figure

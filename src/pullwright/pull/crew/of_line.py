"""The people of a line: skills, the smallest crew at each takt with the points to hand over, cover for absence, what to train next."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pullwright.account.ground import Ground
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.pull.changes import Change
from pullwright.pull.crew.bounds import full_first
from pullwright.pull.crew.cover import Cover, cover_of
from pullwright.pull.crew.line_figures import cover_figures, people_needed
from pullwright.pull.crew.line_rows import (
    AlongRow,
    CrewRow,
    Relay,
    TaskRow,
    Way,
    along_row,
    crew_row,
    relays_of,
    task_rows,
)
from pullwright.pull.crew.line_skills import LineSkills, elements_along, skills_of_line
from pullwright.pull.crew.neighbours import fewest_along
from pullwright.pull.crew.skills import ROUNDING, Skills
from pullwright.pull.crew.smallest import crew_steps, smallest
from pullwright.pull.crew.training import Lesson, Training, taught_enough, training_of
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.wished_takt import wished_takt

SLOWER, QUICKER = 2.0, 1.5
"""The table of crews goes from half of today's demand to half as much again."""


@dataclass(frozen=True)
class CrewPlan:
    """What the line can do with its people, and what it should do about them.

    `takt` (s) of the demand; `machines` (s): the quickest takt that the fullest station can keep, whoever is there; `work` (persons): how many
    people the work keeps busy, and `kept` (s) the quickest takt that all of today's people can keep. `skills`: the matrix, with `lessons_needed`
    given: what must be taught before any plan works, because nobody can do it. `rows`: the smallest crew at each takt, of people as they
    are wanted; `today`: the smallest crew out of today's people (None where all of them are too few), `along_today` the same at posts
    along the way, `along_wanted` the smallest crew there if they may be of any crew, `relays` those of one crew who are neighbours there; `more`: how many people of each crew are lacking where all are too few. `chance`, `share` and `cover`: with people
    away (None where no people are given). `training`: at the takt, one person at a time.
    """

    takt: Figure
    machines: Figure
    work: Figure
    kept: float
    skills: Skills
    lessons_needed: tuple[Lesson, ...]
    tasks: tuple[TaskRow, ...]
    rows: tuple[CrewRow, ...]
    today: CrewRow | None
    along_today: AlongRow | None
    along_wanted: AlongRow | None
    relays: tuple[Relay, ...]
    more: dict[str, int]
    chance: Figure | None
    share: Figure | None
    cover: Cover | None
    training: Training | None
    assumed: bool
    sentences: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()

    @property
    def enough(self) -> bool:
        """Can all of today's people keep the takt, if none is away?"""
        return self.kept <= self.takt.value * (1 + ROUNDING)

    def figures(self) -> dict[str, Figure]:
        """Give all figures of the plan by name; the takt is one of the flow."""
        rows = [*self.rows, *((self.today,) if self.today else ())]
        alongs = [row.along for row in rows if row.along] + ([self.along_today] if self.along_today else [])
        found = [
            self.machines, self.work,
            *(figure for row in self.tasks for figure in (row.content, row.needed)),
            *(row.takt for row in rows),
            *(figure for along in alongs for figure in (along.takt, *along.rounds)),
            *(figure for relay in self.relays for figure in (relay.fixed, relay.settled)),
            *(figure for figure in (self.chance, self.share) if figure is not None),
        ]  # fmt: skip
        return {figure.name: figure for figure in found}


def crew_plan_of(flow: Flow, seed: int = 1, ground: Ground | None = None) -> CrewPlan:
    """Who can do what, how few people are enough, how sure is that with some away, and what is to be trained next?

    People's time is that of the flow, with set-ups, what is done again, and carrying. Where no people are given, the plan says how many would
    be needed if everybody could do everything. What nobody can do is taken as taught to the crew that keeps all people quickest, and the
    plan says so first. `seed`: for the days that are drawn where there are too many ways to be there; `ground`: of the accounts, where it is laid already.
    """
    from pullwright.pull.crew.line_changes import changes_of
    from pullwright.pull.crew.said import sentences_of

    given = skills_of_line(flow, ground)
    if not any(figure.value > 0 for figure in given.content.values()):
        raise BadPlanInput(
            "nothing at this line binds a person: there is nobody to plan; give manual, walking or watched time"
        )
    taught, lessons = taught_enough(given.skills)
    line = replace(given, skills=taught)
    way = Way(*elements_along(flow, line))
    takt, limits = wished_takt(flow), [crew.people for crew in taught.hands]
    kept = full_first(taught)[1]
    enough = kept <= takt.value * (1 + ROUNDING)
    rows = tuple(
        crew_row(line, way, step, f"{step.people} people of any crew")
        for step in crew_steps(taught, takt.value / QUICKER, takt.value * SLOWER)
    )
    today = along_today = None
    if enough and not line.assumed:
        today = crew_row(line, way, smallest(taught, takt.value, most=limits), "today's people", limits)
        along = fewest_along(way.skills, takt.value, most=limits)
        along_today = None if along is None else along_row(along, way, "today's people, at the takt")
    wanted = next(
        (row.along for row in rows if row.along and row.along.takt.value <= takt.value * (1 + ROUNDING)), None
    )
    shown = along_today or wanted
    chance, share, cover, training = (None, None, None, None) if line.assumed else _with_people_away(line, takt, seed)
    plan = CrewPlan(
        takt=takt,
        machines=derive(
            "crew / takt of the fullest station",
            lambda *bars: np.maximum.reduce(list(bars)),
            *(station.content for station in flow.stations),
            unit="s",
            formula="largest bar of a station: work / (demand x machines)",
        ),
        work=people_needed(
            "crew / people that the work keeps busy", list(line.content.values()), takt, "people's time for one unit"
        ),
        kept=kept,
        skills=taught,
        lessons_needed=lessons,
        tasks=task_rows(line, takt, given.skills.nobody),
        rows=rows,
        today=today,
        along_today=along_today,
        along_wanted=wanted,
        relays=() if shown is None else relays_of(shown, way),
        more={} if enough or line.assumed else _more(taught, takt.value, limits),
        chance=chance,
        share=share,
        cover=cover,
        training=training,
        assumed=line.assumed,
    )
    return replace(plan, sentences=sentences_of(flow, plan), changes=changes_of(flow, plan))


def _more(skills: Skills, takt: float, today: list[int]) -> dict[str, int]:
    """The fewest people more with whom the takt can be kept."""
    wanted = smallest(skills, takt, least=today).crews
    return {
        name: number - here for name, number, here in zip(skills.crews, wanted, today, strict=True) if number > here
    }


def _with_people_away(line: LineSkills, takt: Figure, seed: int) -> tuple[Figure, Figure, Cover, Training]:
    contents = [line.content[name] for name in line.skills.names]
    chance, share = cover_figures(line.skills, contents, line.away, takt, seed)
    return chance, share, cover_of(line.skills, takt.value, seed), training_of(line.skills, takt.value, seed=seed)

"""The chapter of the people: who can do what, the smallest crew at each takt, cover, and what to train next."""

from __future__ import annotations

from pullwright.pull.crew.line_rows import CrewRow
from pullwright.pull.crew.of_line import CrewPlan
from pullwright.pull.crew.training import Trained
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable

_MOST_LESSONS = 6


def told_people(plan: PullPlan) -> Chapter:
    """Who does it, how few are enough, how sure is that with some away, and what is to be trained next?"""
    crew = plan.crew
    lacking = bool(crew.lessons_needed) or not (crew.assumed or crew.enough)
    return Chapter(
        key="people",
        title="People",
        sentence=crew.sentences[0] if crew.sentences else "",
        look=lacking,
        tables=tuple(_tables(crew, absent_given=any(one.absent is not None for one in plan.line.people))),
        reasons=crew.sentences[1:],
        changes=crew.changes,
    )


def _tables(crew: CrewPlan, *, absent_given: bool) -> list[PlanTable]:
    found = [
        PlanTable(
            "Smallest crew at each takt", ("keeps a takt of", "of which kinds", "full then", "hand over after"),
            tuple(
                PlanRow(
                    f"{row.people} {'person' if row.people == 1 else 'people'}",
                    (row.takt, ", ".join(f"{number} {name}" for name, number in row.crews.items()), ", ".join(row.full[0]), _hand_overs(row)),
                )
                for row in crew.rows
            ),
            ("People of any crew who share work in time; hand over after: the last element of each post where everybody does neighbouring work only.",),
        ),
        PlanTable(
            "Who can do what", ("people it needs", "who can", "people who can"),
            tuple(
                PlanRow(row.task, (row.needed, ", ".join(row.who), str(row.people_for)), "nobody can" if row.nobody else "hangs on one" if row.hangs_on_one else "")
                for row in crew.tasks
            ),
        ),
    ]  # fmt: skip
    if crew.chance is not None and crew.share is not None and absent_given:
        found.append(
            PlanTable(
                "With people away", ("",),
                (PlanRow("chance that those who are there can keep the takt", (crew.chance,)), PlanRow("share of the demand that they can make, on average", (crew.share,))),
            )
        )  # fmt: skip
    if crew.training is not None:
        lessons = [*crew.training.single, *crew.training.together][:_MOST_LESSONS]
        if lessons:
            today = crew.training.today
            found.append(
                PlanTable(
                    "What to train next, the best first", ("chance to keep the takt", "share of the demand", "with one person away"),
                    (
                        PlanRow("as today", (_percent(today.chance), _percent(today.share), _percent(today.one_away))),
                        *(PlanRow(_lesson(one), (_percent(one.worth.chance), _percent(one.worth.share), _percent(one.worth.one_away))) for one in lessons),
                    ),
                )
            )  # fmt: skip
    return found


def _hand_overs(row: CrewRow) -> str:
    if row.along is None:
        return "cannot stand along the way"
    return ", ".join(over.behind for over in row.along.along.hand_overs) or "nowhere: one post does all"


def _lesson(one: Trained) -> str:
    return " and ".join(
        f"{lesson.people} of {lesson.crew} learn{'s' if lesson.people == 1 else ''} {lesson.task}"
        for lesson in one.lessons
    )


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"

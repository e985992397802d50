"""The parts of a plan in the order in which they are read: screens, commands and prints are made from this table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.cards import told_cards
from pullwright.survey.planned.chapter import Chapter
from pullwright.survey.planned.day import told_day
from pullwright.survey.planned.deliveries import told_deliveries
from pullwright.survey.planned.fit import told_fit
from pullwright.survey.planned.lots import told_lots
from pullwright.survey.planned.people import told_people
from pullwright.survey.planned.posts import told_posts


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a plan: its name in addresses and commands, its heading, the wishes that bear on it, and what tells it.

    `usual`: what it changes in the line file is tried and written unless somebody says otherwise. Posts and people change who works where, and both the
    same crews; lots change how often everybody is setting up: they are asked for by name.
    """

    key: str
    title: str
    wishes: str
    tells: Callable[[PullPlan], Chapter]
    usual: bool = True

    def told(self, plan: PullPlan) -> Chapter:
        """Tell it; where there is no such plan, say so."""
        try:
            return replace(self.tells(plan), wishes=self.wishes)
        except NoSuchPlan as error:
            return Chapter(
                self.key,
                self.title,
                "",
                look=True,
                refused=_sentence(error),
                binding=error.binding,
                instead=error.instead,
                works=error.works,
                wishes=self.wishes,
            )
        except BadPlanInput as error:
            return Chapter(self.key, self.title, "", look=True, refused=_sentence(error), wishes=self.wishes)


def _sentence(error: Exception) -> str:
    said = str(error)
    if isinstance(error, NoSuchPlan) and error.instead:
        said = said.removesuffix(error.instead).strip()  # it stands by itself
    return f"{said[:1].upper()}{said[1:]}"


PARTS: tuple[Part, ...] = (
    Part("posts", "Posts", "balance", told_posts, usual=False),
    Part("lots", "Lots and set-ups", "lots", told_lots, usual=False),
    Part("cards", "Cards and containers", "cards", told_cards),
    Part("deliveries", "Deliveries", "deliveries", told_deliveries),
    Part("today", "Today's sequence", "day", told_day),
    Part("people", "People", "", told_people, usual=False),
    Part("fit", "Does it fit?", "", told_fit),
)

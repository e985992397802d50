"""The whole pull plan of a line as it is told: its chapters, every figure in them by name, and what it changes in the line file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from pullwright.figure import Figure
from pullwright.line.faults import likely_slip
from pullwright.pull.changes import Change
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Chapter, every_figure
from pullwright.survey.planned.chapters import PARTS
from pullwright.survey.survey import UnknownFigureError


@dataclass(frozen=True)
class Planned:
    """A pull plan, told."""

    plan: PullPlan
    _told: dict[str, Chapter] = field(default_factory=dict, repr=False)

    @property
    def chapters(self) -> tuple[Chapter, ...]:
        """Its parts, in the order in which they are read."""
        return tuple(self.chapter(part.key) for part in PARTS)

    def chapter(self, key: str) -> Chapter:
        """One part, told when it is first asked for; ValueError names those that there are."""
        part = next((part for part in PARTS if part.key == key), None)
        if part is None:
            known = [part.key for part in PARTS]
            hint = likely_slip(key, known)
            raise ValueError(
                f"a plan has no part {key!r}; allowed: {', '.join(known)}" + (f" ({hint})" if hint else "")
            )
        if key not in self._told:
            self._told[key] = part.told(self.plan)
        return self._told[key]

    @property
    def look(self) -> bool:
        """Is something of it out of place?"""
        return any(chapter.look or chapter.refused for chapter in self.chapters)

    @cached_property
    def sentence(self) -> str:
        """What the plan comes to, as a foreman would say it: the posts, and the first thing that is out of place."""
        first, last = self.chapters[0], self.chapters[-1]
        said = [first.refused or first.sentence]
        worse = [chapter for chapter in self.chapters[1:] if chapter.look or chapter.refused]
        if last in worse:  # whether it fits is the sum of all the others
            said.append(last.refused or last.sentence)
            worse.remove(last)
        elif worse:
            said.append(worse[0].refused or worse[0].sentence)
            worse = worse[1:]
        if worse:
            said.append(f"Look at {' and '.join(chapter.title.lower() for chapter in worse)} too.")
        return " ".join(said)

    @cached_property
    def figures(self) -> dict[str, Figure]:
        """Every figure of the plan by name, those too that others are made from, down to the given ones."""
        return every_figure(self.chapters)

    def figure(self, name: str) -> Figure:
        """Find a figure of the plan; UnknownFigureError names the nearest one."""
        if name not in self.figures:
            raise UnknownFigureError(name, list(self.figures))
        return self.figures[name]

    @property
    def changes(self) -> tuple[Change, ...]:
        """What the parts that are usually taken change in the line file."""
        return self.changes_of([part.key for part in PARTS if part.usual])

    def changes_of(self, keys: Sequence[str]) -> tuple[Change, ...]:
        """What these parts change in the line file; of two changes of one field the later part's holds.

        Where the posts are among them, the crews are theirs: what the people would change in the same list is left out. Cards with the lots are those
        that the lots of the plan ask for.
        """
        found = {change.path: change for key in keys for change in self._changes(key, "lots" in keys)}
        whole = [path for path in found if len(path) == 1]
        return tuple(
            change for path, change in found.items() if len(path) == 1 or not any(path[:1] == one for one in whole)
        )

    def _changes(self, key: str, with_lots: bool) -> tuple[Change, ...]:
        told = self.chapter(key)
        return (
            self.plan.cards_for_planned_lots.changes
            if key == "cards" and with_lots and not told.refused
            else told.changes
        )

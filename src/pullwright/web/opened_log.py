"""A log as a page opens it: what was brought in, how it was understood, what was decided, and what follows from that."""

from __future__ import annotations

import hashlib
import json
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Annotated, Any, TypeVar
from uuid import uuid4

from fastapi import Path

from pullwright.record import NewNote, Sheet, UnknownSheet
from pullwright.watch.log.guess import ColumnPlan, guess_columns
from pullwright.web.desk import Desk
from pullwright.web.pieces import Crumb, Page
from pullwright.web.problems import NextStep, Problem
from pullwright.web.slow_shelf import UnderWay

if TYPE_CHECKING:
    from pullwright.watch.log.decide import Decided
    from pullwright.watch.log.events import Events, Oddity
    from pullwright.watch.log.reading import RawLog
    from pullwright.watch.log.story import Story
    from pullwright.watch.log.story_figures import StoryFigures

LogKey = Annotated[str, Path(description="The key of a log, as its address shows it.", examples=["log-1"])]
COLUMNS, DECISIONS, DRAFTED = "columns", "decisions", "drafted"
"""Kinds of notes on the sheet of a log; the last one of a kind holds."""
T = TypeVar("T")
LOOK_AGAIN = 3
"""Seconds after which a page looks again whether the work is done."""


class AboutLog(Page):
    """A page about one log; `under_way` says in how many seconds it looks again, None where nothing is awaited."""

    key: str
    struck: bool = False
    under_way: int | None = None


class Waiting(Exception):  # noqa: N818 (no error: the work goes on)
    """What a page wants is being worked out."""


@dataclass(frozen=True)
class OpenedLog:
    """One log on its way to a page."""

    sheet: Sheet
    plan: ColumnPlan
    confirmed: bool
    """Did somebody look the columns over?"""
    decided: bool
    """Did somebody decide about what is odd?"""
    decisions: Mapping[str, str]
    merges: Mapping[str, Mapping[str, str]]
    drafted: str
    """The key of the line that was begun from it; empty where there is none."""

    @property
    def key(self) -> str:
        """Its key in addresses."""
        return self.sheet.key

    @property
    def base(self) -> str:
        """The address of its first page."""
        return f"/logs/{self.key}"

    @property
    def file(self) -> str:
        """What people call the file."""
        return self.sheet.title

    def part(self, name: str) -> str:
        """The address of one of its pages."""
        return f"{self.base}/{name}" if name else self.base

    def about(self, name: str, here: str = "") -> dict[str, Any]:
        """Return what every page about it takes beside its own matter."""
        trail = (Crumb(words="Lines", href="/"), Crumb(words="Logs", href="/logs"))
        return {
            "name": name,
            "trail": (*trail, Crumb(words=self.file, href=self.base)) if here else trail,
            "places": tuple(Crumb(words=words, href=self.part(part), here=words == here) for words, part in PLACES),
            "key": self.key,
            "struck": self.sheet.struck,
        }


PLACES = (
    ("Columns", ""),
    ("What is odd", "odd"),
    ("The story", "story"),
    ("All figures", "figures"),
    ("Drafted line", "draft"),
    ("History", "history"),
)


def open_log_sheet(desk: Desk, key: str) -> OpenedLog:
    """Open a log that was brought in; Problem (404) where there is none of that key."""
    try:
        sheet = desk.record.sheet(key)
    except UnknownSheet:
        sheet = None
    if sheet is None or sheet.kind != "log":
        steps = (NextStep("All logs", "/logs"),)
        raise Problem(404, f"the log {key[:80]!r}", allowed="A log that was brought in.", steps=steps)
    last: dict[str, dict[str, Any]] = {}
    for note in desk.record.notes(key):
        last[note.kind] = note.body
    decided = last.get(DECISIONS, {})
    return OpenedLog(
        sheet=sheet,
        plan=ColumnPlan.from_dict(last.get(COLUMNS, sheet.body)["plan"]),
        confirmed=COLUMNS in last,
        decided=DECISIONS in last,
        decisions=decided.get("decisions", {}),
        merges=decided.get("merges", {}),
        drafted=last.get(DRAFTED, {}).get("line", ""),
    )


def note_on(desk: Desk, log: OpenedLog, kind: str, body: Mapping[str, Any], who: str) -> None:
    """Write on the sheet of a log what somebody said about it."""
    desk.record.write_notes(log.key, [NewNote(str(uuid4()), kind, dict(body), who, datetime.now(UTC))])


@dataclass(frozen=True)
class Telling:
    """A story with its figures, every chapter worked out."""

    story: Story
    figures: StoryFigures
    decided: Decided


class LogStages:
    """The stages in which a log is worked out; each waits for the one before, and says Waiting while it is under way."""

    def __init__(self, desk: Desk, log: OpenedLog) -> None:
        self.desk, self.log = desk, log

    def raw(self) -> RawLog:
        """The file as a table of its columns."""
        return self._stage("file", "", self._read_file)

    def events(self) -> Events:
        """The events as the confirmed columns give them."""
        raw = self.raw()

        def make() -> Events:
            from pullwright.watch.log.convert import to_events

            return to_events(raw, self.log.plan)

        return self._stage("events", self._digest(self.log.plan.as_dict()), make)

    def oddities(self) -> tuple[Oddity, ...]:
        """What is odd in them."""
        events = self.events()

        def make() -> tuple[Oddity, ...]:
            from pullwright.watch.log.oddities import oddities

            return (*events.read_oddities, *oddities(events))

        return self._stage("odd", self._digest(self.log.plan.as_dict()), make)

    def telling(self) -> Telling:
        """The story after the decisions."""
        events = self.events()

        def make() -> Telling:
            from pullwright.watch.log.decide import decide
            from pullwright.watch.log.laid import Laid
            from pullwright.watch.log.looked import Looked
            from pullwright.watch.log.merging import merges_for
            from pullwright.watch.log.story import story
            from pullwright.watch.log.story_figures import StoryFigures

            laid_out = Looked(Laid(events))
            merges = self.log.merges if self.log.decided else merges_for(events, log=laid_out)
            decided = decide(events, self.log.decisions, merges=merges, log=laid_out)
            told = story(decided).tell()
            figures = StoryFigures(told, decided)
            _ = figures.every
            return Telling(told, figures, decided)

        log = self.log
        return self._stage("story", self._digest([log.plan.as_dict(), log.decisions, log.merges]), make)

    def drawn(self, name: str, make: Callable[[], T]) -> T:
        """Something drawn from the story, kept with it."""
        log = self.log
        return self._stage(f"chart {name}", self._digest([log.plan.as_dict(), log.decisions, log.merges]), make)

    def _stage(self, name: str, digest: str, make: Callable[[], T]) -> T:
        found = self.desk.slow.ask(f"{self.log.key} {name} {digest}", make)
        if isinstance(found, UnderWay):
            raise Waiting
        return found

    def _read_file(self) -> RawLog:
        from pullwright.watch.log.reading import open_log

        with tempfile.TemporaryDirectory(prefix="pullwright-log-") as folder:
            path = FilePath(folder) / "log"
            self.desk.record.write_file_to(self.log.key, path)
            return open_log(path, name=self.log.file)

    @staticmethod
    def _digest(value: Any) -> str:
        return hashlib.sha256(json.dumps(value, sort_keys=True, default=dict).encode()).hexdigest()[:16]


def guessed(raw: RawLog) -> ColumnPlan:
    """How are the columns of a file understood at first sight?"""
    return guess_columns(raw)

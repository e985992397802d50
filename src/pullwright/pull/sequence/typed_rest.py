"""What somebody types about a day that has begun: how far it is, what was lost, what is asked for now; read, or refused field by field."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from pullwright.line.faults import likely_slip
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.begun import Begun, on_the_day, worked_to
from pullwright.pull.sequence.day_box import Stretch, shown, worked_until, working_time

PLAIN = ("done", "on", "started", "now", "until")
"""Fields that are there once."""
BY_PRODUCT = ("done", "lost", "asked")
"""Fields that are there for every product: `asked.P-32`."""
MOST_ASKED = 5_000
"""Pieces of a day that are put in order while somebody waits."""

_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])")
_MORE = re.compile(r"(?:\+\s*([0-9]{1,6})|([0-9]{1,6})\s*(more|fewer|less))")
T = TypeVar("T")


class BadRest(BadPlanInput):
    """What was typed cannot be read; `wrong` says for each field what was read, what is allowed, and what to do."""

    def __init__(self, wrong: Mapping[str, str]) -> None:
        self.wrong = dict(wrong)
        super().__init__("; ".join(f"{field}: {message}" for field, message in wrong.items()))


@dataclass(frozen=True)
class Standing:
    """Where a day stands before something is typed: its sequence, how much of it was done when it was made, what was asked for, when is worked.

    `usual`: working time as every day; `opens`, `closes`: when somebody is there (s after midnight); `now`, `until`: as they were typed last.
    """

    names: tuple[str, ...]
    sequence: tuple[str, ...]
    done: int
    asked: Mapping[str, int]
    usual: tuple[Stretch, ...]
    opens: float
    closes: float
    now: dt.time | None = None
    until: dt.time | None = None
    on: str | None = None


def is_about_rest(field: str) -> bool:
    """Does a field of this name say something about the day that has begun?"""
    kind, dot, _ = field.partition(".")
    return kind in BY_PRODUCT if dot else kind in PLAIN


def read_rest(typed: Mapping[str, str], standing: Standing) -> Begun:
    """How far is the day, and what is asked for now?

    Parameters: `typed`, texts by the names of fields: `done` (pieces of the sequence that are finished) or `done.PRODUCT`, `lost.PRODUCT` (of them, not
    there any more), `on` (the product made last, where the sequence does not say it), `started` (pieces after those that are begun), `now` and
    `until` (clock times), `asked.PRODUCT` (for the whole day: `15`, or `6 more`, `2 fewer`); an empty text says nothing. `standing`, the day as it was planned.
    Errors: BadRest with a message for every field that cannot be.
    """
    return _Reading(typed, standing).begun()


class _Reading:
    def __init__(self, typed: Mapping[str, str], standing: Standing) -> None:
        self.typed = {name: text for name, text in typed.items() if text.strip()}
        self.standing = standing
        self.wrong: dict[str, str] = {}

    def begun(self) -> Begun:
        here = self.standing
        self._known()
        begun = Begun(
            planned=here.sequence,
            now=self._read("now", self._now, here.now),
            until=here.until,
            asked={name: self._read(f"asked.{name}", partial(self._asked, name=name), here.asked[name]) for name in here.names},
        )  # fmt: skip
        passed = self._passed()
        if any(field.partition(".")[0] == "done" for field in self.wrong):
            raise BadRest(self.wrong)  # what else was typed hangs on it
        lost = self._lost(Counter(passed))
        started = self._read("started", partial(self._started, passed=len(passed)), 0)
        last = here.on if len(passed) == here.done and here.on else passed[-1] if passed else None
        on = self._read("on", partial(self._on, passed=passed), last)
        now = None if begun.now is None else on_the_day(begun.now, here.usual)
        until = self._read("until", partial(self._until, now=now, passed=len(passed)), here.until)
        if (
            not self.wrong
            and any(field.startswith("asked.") for field in self.typed)
            and not sum((begun.asked or {}).values())
        ):
            self.wrong[f"asked.{here.names[0]}"] = (
                "0 pieces of every product were read; allowed: at least one piece of one product over the whole day. Where every order fell away "
                "there is nothing to plan: end what is started, and stop"
            )
        if self.wrong:
            raise BadRest(self.wrong)
        return Begun(
            here.sequence, _without(passed, lost), 0, started, tuple(lost.elements()), on, begun.now, until, begun.asked
        )

    def _known(self) -> None:
        for field in self.typed:
            _, dot, name = field.partition(".")
            if dot and name not in self.standing.names:
                hint = likely_slip(name, self.standing.names)
                self.wrong[field] = (
                    f"product {name[:80]!r} was read; allowed: {', '.join(self.standing.names)}"
                    + (f" ({hint})" if hint else "")
                    + ". Take this field out, or name one of them"
                )

    def _read(self, field: str, read: Callable[[str], T], else_: T) -> T:
        text = self.typed.get(field)
        if text is None:
            return else_
        try:
            return read(text)
        except BadPlanInput as error:
            self.wrong[field] = str(error)
            return else_

    # --- how far it is ------------------------------------------------------------------------------------------------

    def _passed(self) -> tuple[str, ...]:
        """The pieces of the sequence that were made, lost ones too."""
        here, whole = self.standing, Counter(self.standing.sequence)
        before = Counter(here.sequence[: here.done])
        by_product = [name for name in here.names if f"done.{name}" in self.typed]
        if "done" in self.typed and by_product:
            self.wrong["done"] = (
                f"{self.typed['done'].strip()[:40]!r} was read, and pieces by product too; allowed: one of the two. Empty this field, or those by product"
            )
            return here.sequence[: here.done]
        if not by_product:
            many = self._read(
                "done", _whole(here.done, len(here.sequence), "pieces of the sequence are finished", _already(here.done, len(here.sequence))), here.done,
            )  # fmt: skip
            return here.sequence[:many]
        counts = Counter(
            {
                name: self._read(
                    f"done.{name}", _whole(before[name], whole[name], f"{name} are finished", _already(before[name], whole[name])), before[name],
                )
                for name in here.names
            }
        )  # fmt: skip
        taken: Counter[str] = Counter()
        passed = []
        for name in here.sequence:
            if taken[name] < counts[name]:
                taken[name] += 1
                passed.append(name)
        return tuple(passed)

    def _lost(self, passed: Counter[str]) -> Counter[str]:
        found: Counter[str] = Counter()
        for name in self.standing.names:
            most = passed[name]
            many = self._read(
                f"lost.{name}", _whole(0, most, f"finished {name} are lost", f"{most} of it {_are(most)} finished"), 0,
            )  # fmt: skip
            if many:
                found[name] = many
        return found

    def _started(self, text: str, passed: int) -> int:
        rest = len(self.standing.sequence) - passed
        read = _whole(0, rest, "of the next pieces are started", f"after those that are finished {rest} {_come(rest)}")
        return read(text)

    def _on(self, text: str, passed: tuple[str, ...]) -> str:
        name = text.strip()
        if name not in passed:
            made = [one for one in self.standing.names if one in passed]
            raise BadPlanInput(
                f"{name[:80]!r} was read as the product made last; allowed: "
                + (
                    f"one that was made: {', '.join(made)}"
                    if made
                    else "nothing, as nothing is finished yet; say first what is"
                )
            )
        return name

    # --- times --------------------------------------------------------------------------------------------------------

    def _now(self, text: str) -> dt.time:
        here, clock = self.standing, _clock(text)
        at = on_the_day(clock, here.usual)
        earliest = here.opens if here.now is None else on_the_day(here.now, here.usual)
        latest = max(here.closes, worked_to(here.usual, here.until)[-1][1])
        if typed := self.typed.get("until"):
            with suppress(BadPlanInput):  # said at its own field
                latest = max(latest, worked_to(here.usual, _clock(typed))[-1][1])
        if not earliest <= at <= latest:
            why = "when people are there" if here.now is None else f"at {here.now:%H:%M} the day was planned anew"
            raise BadPlanInput(
                f"{clock:%H:%M} was read; allowed: times from {shown(earliest)} to {shown(latest)} ({why}). Type the time on the clock now"
            )
        return clock

    def _until(self, text: str, now: float | None, passed: int) -> dt.time:
        here, clock = self.standing, _clock(text)
        whole = working_time(here.usual)
        gone = passed * whole / max(len(here.sequence), 1) if now is None else worked_until(here.usual, now)
        stretches = worked_to(here.usual, clock)
        if working_time(stretches) <= gone or (now is not None and stretches[-1][1] <= now):
            raise BadPlanInput(
                f"{clock:%H:%M} was read as the end of work; allowed: a time after now. Type when work ends today, or leave it empty: "
                f"{shown(here.usual[-1][1])} as every day"
            )
        return clock

    # --- what is asked for --------------------------------------------------------------------------------------------

    def _asked(self, text: str, name: str) -> int:
        before = self.standing.asked[name]
        how = f"whole numbers from 0 to {MOST_ASKED:,} for the whole day, or against the {before} so far: '6 more', '2 fewer'"
        more = _MORE.fullmatch(text.strip())
        if more:
            change = int(more[1] or more[2]) * (1 if more[1] or more[3] == "more" else -1)
            if before + change < 0:
                raise BadPlanInput(f"{text.strip()!r} was read, and only {before} are asked for; allowed: {how}")
            many = before + change
        elif text[:1].isspace() and text.strip().isdigit():
            # In an address that is typed by hand a plus is a blank.
            raise BadPlanInput(
                f"a blank and {text.strip()!r} were read; allowed: {how}. For more type '{text.strip()[:9]} more'"
            )
        else:
            if text.strip().startswith(("-", "\u2212")) and _plain(text.strip()[1:]):
                fewer = text.strip()[1:].strip()
                raise BadPlanInput(f"{text.strip()[:40]!r} was read; allowed: {how}. For fewer type '{fewer} fewer'")
            if not _plain(text):
                raise BadPlanInput(f"{text.strip()[:40]!r} was read; allowed: {how}")
            many = int(text)
        if many > MOST_ASKED:
            raise BadPlanInput(f"{many:,} pieces were read; allowed: {how}")
        return many


def _without(passed: tuple[str, ...], lost: Counter[str]) -> tuple[str, ...]:
    """The pieces that are there: of each product its last ones are those that are lost."""
    left, kept = Counter(lost), []
    for name in reversed(passed):
        if left[name]:
            left[name] -= 1
        else:
            kept.append(name)
    return tuple(reversed(kept))


def _plain(text: str) -> bool:
    word = text.strip()
    return word.isascii() and word.isdigit() and len(word) < 10


def _whole(least: int, most: int, what: str, why: str) -> Callable[[str], int]:
    """What reads a whole number between these."""

    def read(text: str) -> int:
        if _plain(text) and least <= int(text) <= most:
            return int(text)
        span = f"{least}" if least == most else f"whole numbers from {least} to {most}"
        raise BadPlanInput(f"{text.strip()[:40]!r} was read; allowed: {span} ({why}). Type how many {what}")

    return read


def _already(done: int, whole: int) -> str:
    planned = f"{whole} {_are(whole)} planned"
    return (
        f"{planned}; {done} {'was' if done == 1 else 'were'} done when the day was last planned anew"
        if done
        else planned
    )


def _clock(text: str) -> dt.time:
    found = _CLOCK.fullmatch(text.strip())
    if not found:
        raise BadPlanInput(
            f"{text.strip()[:40]!r} was read; allowed: times of the clock from 00:00 to 23:59, such as 10:20"
        )
    return dt.time(int(found[1]), int(found[2]))


def _are(n: int) -> str:
    return "is" if n == 1 else "are"


def _come(n: int) -> str:
    return "comes" if n == 1 else "come"

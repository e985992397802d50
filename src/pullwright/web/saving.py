"""Saving a text as the next revision of a line: read first, refused with its faults, never over what somebody else saved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pullwright.line.faults import Fault
from pullwright.line.yaml_tree import MOST_BYTES
from pullwright.record import InvalidEntry, NothingChanged, Revision, StaleRevision
from pullwright.record.limits import LIMITS
from pullwright.web.desk import Desk
from pullwright.web.difference import difference_of
from pullwright.web.forms import PRESSED, Field, Filled
from pullwright.web.pages import Done
from pullwright.web.pieces import TextFault
from pullwright.web.problems import Problem
from pullwright.web.way import line_way

SAVE, CHECK = "save", "check"
WHO = Field(
    "who",
    "Who saves this",
    hint="The name that people on the floor know you by; it stands beside the revision for ever.",
    most=LIMITS["who"].most,
    autocomplete="name",
    asked_by=SAVE,
)
WHY = Field(
    "why",
    "Why",
    hint="What was seen, counted or decided, in a sentence.",
    kind="text",
    most=LIMITS["why"].most,
    asked_by=SAVE,
)
TEXT = Field("text", "Line file", kind="code", most=MOST_BYTES)
FILE = Field(
    "file",
    "Or choose a file from this machine",
    hint="A line file (YAML, UTF-8). It takes the place of the whole text.",
    kind="file",
    required=False,
    into="text",
)
PRESS = Field(PRESSED, "Button", kind="choice", required=False, choices=((SAVE, "Save"), (CHECK, "Check")))
BASED_ON = Field("based_on", "Revision that this starts from", kind="kept", most=12)


def text_faults(faults: Sequence[Fault]) -> tuple[TextFault, ...]:
    """Return the faults of a line file as a page marks them."""
    return tuple(TextFault.model_validate(fault.as_dict()) for fault in faults)


def refused(filled: Filled, faults: Sequence[Fault], more: int = 0) -> Filled:
    """Return the form with the faults of its text."""
    count = len(faults) + more
    places = "one place in the text needs" if count == 1 else f"{count} places in the text need"
    return filled.back(faults=text_faults(faults), notice=f"Nothing was saved yet: {places} another look.")


def revision_number(filled: Filled) -> int:
    """Return the revision that a form says it starts from; Problem (422) when it is no number."""
    typed = filled.typed[BASED_ON.name].strip()
    if not (typed.isascii() and typed.isdigit()):
        raise Problem(422, f"the revision {typed[:20]!r}", allowed="The number of a revision, as the page sends it.")
    return int(typed)


def save(filled: Filled, desk: Desk, key: str, text: str) -> Done | Filled:
    """Save a text that can be read as the next revision of a line, and show what it changes.

    When somebody saved in between, the form comes back (409) with the differences between theirs and this one, ready to be
    saved on top.
    """
    number = revision_number(filled)
    try:
        revision = desk.record.revise(key, text, filled.typed["who"], filled.typed["why"], based_on=number)
    except StaleRevision as stale:
        return overtaken(filled, stale, text)
    except NothingChanged:
        return filled.back(notice="Nothing was saved: the text is, letter for letter, that of the latest revision.")
    except InvalidEntry as error:
        return filled.back({error.field: f"{error.read} was read; allowed is {error.allowed}."})
    return Done(saved_address(revision))


def saved_address(revision: Revision) -> str:
    """Return where what a revision changed is shown."""
    way = line_way(revision.key)
    return way.part(f"compare?before={revision.number - 1}&after={revision.number}")


def overtaken(filled: Filled, stale: StaleRevision, text: str) -> Filled:
    """Return the form as it stands after somebody else has saved: both texts, and the next save goes on top of theirs."""
    latest = stale.latest
    again = replace(filled, typed={**filled.typed, BASED_ON.name: str(latest.number)})
    reason = f" ({latest.why})" if latest.why else ""
    return again.back(
        status=409,
        notice=f"Nothing was overwritten: {latest.who} saved revision {latest.number} while you were at work{reason}. "
        "What you typed is still here.",
        beside={"difference": difference_of(latest.text, text), "overtaken_by": latest.number},
    )

"""What the record says when something cannot be kept or found, told to the visitor with the right status."""

from __future__ import annotations

import logging

from pullwright.record.errors import (
    InvalidEntry,
    LineExists,
    NoFile,
    NoteDiffers,
    NothingChanged,
    RecordBusy,
    RecordError,
    SheetExists,
    StaleRevision,
    UnknownLine,
    UnknownRevision,
    UnknownSheet,
)
from pullwright.web.problems import Problem, Wrong

LOG = logging.getLogger("pullwright.web")
STATUS: tuple[tuple[type[RecordError], int], ...] = (
    (InvalidEntry, 422),
    (UnknownLine, 404),
    (UnknownRevision, 404),
    (UnknownSheet, 404),
    (NoFile, 404),
    (LineExists, 409),
    (SheetExists, 409),
    (NoteDiffers, 409),
    (StaleRevision, 409),
    (NothingChanged, 422),
    (RecordBusy, 503),
    (RecordError, 503),
)
"""The first that fits counts; what is not the visitor's doing is a 503."""


def record_problem(error: Exception) -> Problem | None:
    """Turn an error of the record into a problem; None for any other error.

    >>> record_problem(LineExists("hone")).status_code
    409
    """
    if not isinstance(error, RecordError):
        return None
    status = next(status for kind, status in STATUS if isinstance(error, kind))
    if isinstance(error, StaleRevision):
        return Problem(
            409,
            f"a change of revision {error.based_on}",
            title=f"Nothing was overwritten: {error.latest.who} saved revision {error.latest.number} while you were at work.",
            allowed=f"A change of revision {error.latest.number}, the latest.",
        )
    if isinstance(error, InvalidEntry):
        return Problem(
            422, f"{error.field}: {error.read}", allowed=f"{error.allowed}.", wrong=(Wrong(error.field, str(error)),)
        )
    if status == 503:
        LOG.error("the record: %s", error)
        return Problem(503, "your request, whole", title="The record cannot be used just now; nothing was changed.")
    return Problem(status, str(error).rstrip("."), allowed=_allowed(error))


def _allowed(error: RecordError) -> str:
    if isinstance(error, UnknownLine) and error.known:
        return "One of the lines: " + ", ".join(error.known[:20]) + "."
    if isinstance(error, UnknownSheet) and error.known:
        return "One of the sheets: " + ", ".join(error.known[:20]) + "."
    if isinstance(error, UnknownRevision):
        return f"Revisions 1 to {error.latest}."
    return ""

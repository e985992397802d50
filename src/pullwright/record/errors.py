"""What can go wrong with the record, each with what was read, what is allowed and what to do."""

# ruff: noqa: N818  (the names say what happened, the way the person at the screen would say it)

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from pullwright.record.entries import Note, Revision

SHOWN_KEYS = 20
"""How many names an error lists before it says how many more there are."""


class RecordError(Exception):
    """Something about the record did not work; the message says what, and what to do. Nothing kept is lost."""


class InvalidEntry(RecordError):
    """What was handed in is not allowed to stand in the record: you typed something that it cannot keep.

    Attributes: field ("key", "who", ...), read (shortened for people), allowed (the rule in words).
    """

    def __init__(self, field: str, read: str, allowed: str, remedy: str) -> None:
        super().__init__(f"{field}: read {read}; allowed is {allowed}. {remedy}")
        self.field, self.read, self.allowed = field, read, allowed


class UnknownLine(RecordError):
    """No line of that key is in the record; the message lists those that are."""

    def __init__(self, key: str, known: Sequence[str]) -> None:
        near = get_close_matches(key, known, n=1)
        slip = f" Did you mean {near[0]!r}?" if near else ""
        super().__init__(f"There is no line {key!r} in this record. {_listed(known)}{slip}")
        self.key, self.known = key, tuple(known)


class UnknownRevision(RecordError):
    """The line has no revision of that number; the message says which there are."""

    def __init__(self, key: str, number: int, latest: int) -> None:
        there = "only revision 1" if latest == 1 else f"revisions 1 to {latest}"
        super().__init__(f"There is no revision {number} of {key!r}; it has {there}. Take one of these.")
        self.key, self.number, self.latest = key, number, latest


class LineExists(RecordError):
    """A line of that key is in the record already."""

    def __init__(self, key: str) -> None:
        super().__init__(
            f"There is a line {key!r} in this record already, and it was left as it is. "
            "Save your text as its next revision, or take another key."
        )
        self.key = key


class StaleRevision(RecordError):
    """Somebody else saved this line in between; nothing was overwritten, and both texts can be shown.

    Attributes: latest (the Revision that was saved in between), based_on (the number you worked on).
    """

    def __init__(self, latest: Revision, based_on: int) -> None:
        reason = f" ({latest.why})" if latest.why else ""
        super().__init__(
            f"You worked on revision {based_on} of {latest.key!r}, and {latest.who} saved revision {latest.number} "
            f"at {latest.when:%Y-%m-%d %H:%M} UTC{reason}. Yours is not saved yet. "
            f"Look at both, then save on revision {latest.number}."
        )
        self.latest, self.based_on = latest, based_on


class UnknownSheet(RecordError):
    """No sheet of that key is in the record; the message lists those that are, the newest first."""

    def __init__(self, key: str, known: Sequence[str]) -> None:
        near = get_close_matches(key, known, n=1)
        slip = f" Did you mean {near[0]!r}?" if near else ""
        there = _listed(known, "It holds no sheet yet; begin one first.")
        super().__init__(f"There is no sheet {key!r} in this record. {there}{slip}")
        self.key, self.known = key, tuple(known)


class SheetExists(RecordError):
    """A sheet of that key is in the record already."""

    def __init__(self, key: str) -> None:
        super().__init__(
            f"There is a sheet {key!r} in this record already, and it was left as it is. "
            "Write your notes on it, or begin another without naming a key."
        )
        self.key = key


class NoteDiffers(RecordError):
    """A note of that uid stands on the sheet already and says something else; nothing was overwritten, nothing written.

    Attributes: key (of the sheet), kept (the Note that stands there; None when two of the same call differ), uid.
    """

    def __init__(self, key: str, uid: str, kept: Note | None) -> None:
        there = "twice in what was sent" if kept is None else f"as note {kept.number} of {key!r} by {kept.who}"
        super().__init__(
            f"The note {uid!r} is there {there}, and does not say the same. Nothing was overwritten, and none of the "
            "notes of this call was written. Send the other one under a uid of its own."
        )
        self.key, self.uid, self.kept = key, uid, kept


class NoFile(RecordError):
    """No file was handed in with that sheet."""

    def __init__(self, key: str) -> None:
        super().__init__(f"No file was handed in with the sheet {key!r}. Begin a new sheet with the file.")
        self.key = key


class NothingChanged(RecordError):
    """What was handed in is what the record holds already, so there is nothing to add."""


class RecordClosed(RecordError):
    """The record was closed, and is asked for something all the same."""


class CannotOpen(RecordError):
    """No record can be kept at the place named: no such folder, a folder instead of a file, an address not known."""


class NotARecord(RecordError):
    """There is something at that place, but it is not a record of ours; it was left untouched."""


class RecordTooNew(RecordError):
    """The record was written by a newer program; it was left untouched."""


class RecordBusy(RecordError):
    """Another program kept the record locked for longer than we wait."""


class RecordFull(RecordError):
    """No room is left where the record is kept."""


class RecordReadOnly(RecordError):
    """The record may be read but not written."""


class RecordUnreachable(RecordError):
    """The database server does not answer, or does not let us in."""


class RecordDamaged(RecordError):
    """The file is damaged, or the disk under it fails."""


class BackupRefused(RecordError):
    """The backup was not made, and nothing was overwritten."""


def _listed(known: Sequence[str], nothing: str = "It holds no line yet; add one first.") -> str:
    if not known:
        return nothing
    shown = ", ".join(known[:SHOWN_KEYS])
    more = f" and {len(known) - SHOWN_KEYS} more" if len(known) > SHOWN_KEYS else ""
    return f"It holds: {shown}{more}."

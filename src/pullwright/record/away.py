"""Lines that were put away: kept with all they hold, and left out of the list until somebody brings them back."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import Connection, insert, select

from pullwright.record.entries import PutAway
from pullwright.record.errors import NothingChanged
from pullwright.record.limits import checked
from pullwright.record.lines import line_id
from pullwright.record.tables import lines_away


def put(connection: Connection, key: str, who: str, why: str, *, away: bool) -> PutAway:
    """Put a line away, or bring it back."""
    new = PutAway(key, away, checked("who", who), datetime.now(UTC), checked("why", why))
    line = line_id(connection, key, hold=True)
    past = history(connection, key)
    if (past[-1].away if past else False) == away:
        state = "put away" if away else "in the list"
        raise NothingChanged(f"The line {key!r} is {state} already; nothing was added.")
    values = {"away": new.away, "who": new.who, "at": new.when, "why": new.why}
    connection.execute(insert(lines_away).values(line_id=line, **values))
    return new


def history(connection: Connection, key: str) -> tuple[PutAway, ...]:
    """Every time that a line was put away or brought back, oldest first."""
    row = lines_away.c
    wanted = select(row.away, row.who, row.at, row.why).where(row.line_id == line_id(connection, key))
    return tuple(PutAway(key, *found) for found in connection.execute(wanted.order_by(row.id)))

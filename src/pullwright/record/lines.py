"""Lines, their revisions and titles: what is read and added within one transaction."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Select, false, func, insert, select
from sqlalchemy.exc import IntegrityError

from pullwright.record.entries import LineEntry, Revision, Title
from pullwright.record.errors import LineExists, NothingChanged, StaleRevision, UnknownLine, UnknownRevision
from pullwright.record.limits import checked
from pullwright.record.tables import lines, lines_away, revisions, titles


def all_lines(connection: Connection) -> tuple[LineEntry, ...]:
    """Every line with its latest title and who saved it last, by key."""
    newest = select(revisions.c.line_id, func.max(revisions.c.number).label("number")).group_by(revisions.c.line_id)
    named = select(titles.c.line_id, func.max(titles.c.id).label("id")).group_by(titles.c.line_id)
    put = select(lines_away.c.line_id, func.max(lines_away.c.id).label("id")).group_by(lines_away.c.line_id)
    latest, title, last_put = newest.subquery(), named.subquery(), put.subquery()
    rows = connection.execute(
        select(
            lines.c.key,
            titles.c.title,
            revisions.c.number,
            revisions.c.who,
            revisions.c.at,
            func.coalesce(lines_away.c.away, false()),
        )
        .join(latest, latest.c.line_id == lines.c.id)
        .join(revisions, (revisions.c.line_id == lines.c.id) & (revisions.c.number == latest.c.number))
        .join(title, title.c.line_id == lines.c.id)
        .join(titles, titles.c.id == title.c.id)
        .outerjoin(last_put, last_put.c.line_id == lines.c.id)
        .outerjoin(lines_away, lines_away.c.id == last_put.c.id)
    )
    # Sorted here because databases sort hyphens differently.
    return tuple(sorted((LineEntry(*row[:-1], away=bool(row[-1])) for row in rows), key=lambda entry: entry.key))


def all_revisions(connection: Connection, key: str) -> tuple[Revision, ...]:
    """Every revision of one line, oldest first."""
    line = line_id(connection, key)
    rows = connection.execute(_revisions(line).order_by(revisions.c.number))
    return tuple(Revision(key, *row) for row in rows)


def one_revision(connection: Connection, key: str, number: int | None) -> Revision:
    """One revision of a line; the latest when no number is given."""
    line = line_id(connection, key)
    if number is None:
        return _latest(connection, key, line)
    row = connection.execute(_revisions(line).where(revisions.c.number == number)).one_or_none()
    if row is None:
        raise UnknownRevision(key, number, _latest(connection, key, line).number)
    return Revision(key, *row)


def all_titles(connection: Connection, key: str) -> tuple[Title, ...]:
    """Every title that a line had, oldest first."""
    line = line_id(connection, key)
    wanted = select(titles.c.title, titles.c.who, titles.c.at, titles.c.why).where(titles.c.line_id == line)
    return tuple(Title(key, *row) for row in connection.execute(wanted.order_by(titles.c.id)))


def begin_line(connection: Connection, key: str, title: str, text: str, who: str, why: str) -> Revision:
    """Add a line with its title and its first revision."""
    key, title = checked("key", key), checked("title", title)
    first = Revision(key, 1, checked("text", text), checked("who", who), datetime.now(UTC), checked("why", why))
    try:
        line: int = connection.execute(insert(lines).values(key=key).returning(lines.c.id)).scalar_one()
    except IntegrityError as error:
        raise LineExists(key) from error
    _add_title(connection, line, Title(key, title, first.who, first.when, first.why))
    return _add_revision(connection, line, first)


def add_revision(connection: Connection, key: str, text: str, who: str, why: str, based_on: int) -> Revision:
    """Add the next revision of a line, unless somebody saved one since `based_on`."""
    text, who, why = checked("text", text), checked("who", who), checked("why", why)
    line = line_id(connection, key, hold=True)
    latest = _latest(connection, key, line)
    if not 1 <= based_on <= latest.number:
        raise UnknownRevision(key, based_on, latest.number)
    if text == latest.text:
        raise NothingChanged(
            f"This is, letter for letter, the text that {latest.who} saved as revision {latest.number} of {key!r}; "
            "nothing was added. Change something first, or go on."
        )
    if based_on < latest.number:
        raise StaleRevision(latest, based_on)
    return _add_revision(connection, line, Revision(key, latest.number + 1, text, who, datetime.now(UTC), why))


def add_title(connection: Connection, key: str, title: str, who: str, why: str) -> Title:
    """Give a line another title; the earlier ones stay in its history."""
    title, who, why = checked("title", title), checked("who", who), checked("why", why)
    line = line_id(connection, key, hold=True)
    if title == all_titles(connection, key)[-1].title:
        raise NothingChanged(f"The title of {key!r} is {title!r} already; nothing was added.")
    return _add_title(connection, line, Title(key, title, who, datetime.now(UTC), why))


def _revisions(line: int) -> Select[Any]:
    row = revisions.c
    return select(row.number, row.text, row.who, row.at, row.why).where(row.line_id == line)


def line_id(connection: Connection, key: str, *, hold: bool = False) -> int:
    """The line's number in the database; `hold` keeps other writers of this line waiting until we are done."""
    wanted = select(lines.c.id).where(lines.c.key == key)
    # On SQLite a writer holds the whole file already, and the clause is left out.
    line: int | None = connection.scalar(wanted.with_for_update() if hold else wanted)
    if line is None:
        raise UnknownLine(key, sorted(connection.scalars(select(lines.c.key))))
    return line


def _latest(connection: Connection, key: str, line: int) -> Revision:
    row = connection.execute(_revisions(line).order_by(revisions.c.number.desc()).limit(1)).one()
    return Revision(key, *row)


def _add_revision(connection: Connection, line: int, new: Revision) -> Revision:
    values = {"number": new.number, "text": new.text, "who": new.who, "at": new.when, "why": new.why}
    connection.execute(insert(revisions).values(line_id=line, **values))
    return new


def _add_title(connection: Connection, line: int, new: Title) -> Title:
    values = {"title": new.title, "who": new.who, "at": new.when, "why": new.why}
    connection.execute(insert(titles).values(line_id=line, **values))
    return new

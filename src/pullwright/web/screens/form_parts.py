"""What a form shows of one part of a line file beside its entries: where it stands, what stands inside it, what is wrong."""

from __future__ import annotations

from typing import Any

from pullwright.line.faults import Fault, path_words
from pullwright.line.fields import title
from pullwright.web.draft import NEW, Draft, Section, typed_text
from pullwright.web.line_fields import LineField, called, model_at
from pullwright.web.pieces import Piece

PREFIX = "v_"
"""Begins the names of entries, so that a field of the line file may be called anything."""
LONG = 60
"""Characters from which on an entry gets a box of several lines, and its words are cut in a list."""
MOST_FAULTS = 12
"""Faults of the file as it stands that are listed; the others come when these are put right."""


def typed_fields(section: Section) -> tuple[LineField, ...]:
    return tuple(field for field in section.fields if field.shape not in ("mapping", "entries"))


class Entry(Piece):
    """One entry of a list, or one mapping, that stands inside the part that is shown: its words and where it is changed."""

    words: str
    section: str


class Inside(Piece):
    """A field that has fields of its own: what it means, its entries, and the way to add one."""

    name: str
    means: str
    entries: tuple[Entry, ...]
    add: str = ""
    add_words: str = ""


class Wrong(Piece):
    """One thing that is wrong in the line file as it stands, and the part in which it is put right."""

    said: str
    section: str


def shown_of(key: str, section: Section, draft: Draft) -> dict[str, Any]:
    """Return what a page shows of a part of the file beside its typed fields."""
    model = model_at((*section.path[:-1], 0) if section.is_new else section.path)
    way = [Entry(words="The line", section="")]
    for length in range(1, len(section.path)):
        part = Section(section.path[:length])
        if model_at(part.path) is not None:
            way.append(Entry(words=_words(part, draft), section=part.name))
    return {
        "section": section.name,
        "heading": _words(section, draft),
        "way": tuple(way) if section.path else (),
        "means": " ".join((model.__doc__ or "").split("\n\n")[0].split()) if model else "",
        "inside": ()
        if section.is_new
        else tuple(_inside(section, field, draft) for field in section.fields if field.model),
        "removable": _removable(section, draft),
        "repeated": draft.repeated(section),
        "wrong": _wrong(draft),
        "entries": tuple(PREFIX + field.name for field in typed_fields(section)),
        "action": f"/lines/{key}/form?at={section.name}" if section.path else f"/lines/{key}/form",
    }


def _words(section: Section, draft: Draft) -> str:
    if not section.path:
        return "The line"
    model = model_at((*section.path[:-1], 0) if section.is_new else section.path)
    kind = title(model) if model else str(section.path[-1])
    if section.is_new:
        return f"A new {kind}"
    if not section.is_entry:
        return str(section.path[-1]).replace("_", " ").capitalize()
    entry = draft.value(section.path)
    name = (
        next((entry[word] for word in ("name", "what", "on") if word in entry), "") if isinstance(entry, dict) else ""
    )
    return f"{kind.capitalize()} {typed_text(name) or int(section.path[-1]) + 1}"


def _removable(section: Section, draft: Draft) -> bool:
    return bool(section.path) and not section.is_new and draft.value(section.path) is not None


def _inside(section: Section, field: LineField, draft: Draft) -> Inside:
    path = (*section.path, field.name)
    value = draft.value(path)
    if field.shape == "mapping":
        part = Section(path)
        entries: tuple[Entry, ...] = ()
        if value is not None:
            entries = (Entry(words=_brief(value) or "open", section=part.name),)
        return Inside(
            name=field.label,
            means=field.means,
            entries=entries,
            add="" if entries else part.name,
            add_words="Add this",
        )
    listed = value if isinstance(value, list) else []
    entries = tuple(
        Entry(words=_brief(entry), section=Section((*path, number)).name)
        if isinstance(entry, dict)
        else Entry(words=typed_text(entry), section="")
        for number, entry in enumerate(listed)
    )
    return Inside(
        name=field.label,
        means=field.means,
        entries=entries,
        add=Section((*path, NEW)).name,
        add_words=_add_words(field),
    )


def _add_words(field: LineField) -> str:
    kind = called(field.model) if field.model else ""
    return "Add one" if kind.partition(" ")[2] in ("", field.label) else f"Add {kind}"


def _brief(value: object) -> str:
    """Return an entry in a few words: its name, and its first values."""
    if not isinstance(value, dict):
        return typed_text(value)
    named = next((word for word in ("name", "what", "on") if word in value), "")
    words = ", ".join(
        f"{key.replace('_', ' ')} {typed_text(item)}"
        for key, item in value.items()
        if key not in (named, "what", "because") and not isinstance(item, list)
    )
    said = f"{typed_text(value[named])}: {words}" if named and words else typed_text(value[named]) if named else words
    return said if len(said) <= LONG else said[: LONG - 1] + "…"


def _wrong(draft: Draft) -> tuple[Wrong, ...]:
    return tuple(Wrong(said=str(fault), section=draft.section_of(fault).name) for fault in draft.faults[:MOST_FAULTS])


def own_faults(draft: Draft, section: Section) -> dict[str, str]:
    """Return the faults of the fields that a part shows, by field."""
    found: dict[str, str] = {}
    for field in typed_fields(section):
        place = path_words((*section.path, field.name))
        for fault in draft.faults:
            if fault.field == place or fault.field.startswith((f"{place}.", f"{place}[")):
                found.setdefault(field.name, _said(fault))
    return found


def _said(fault: Fault) -> str:
    said = fault.message or f"{fault.read!r} was read; allowed: {fault.allowed}"
    hint = f" ({fault.hint})" if fault.hint and fault.hint not in said else ""
    return f"{said[:1].upper()}{said[1:]}{hint}."

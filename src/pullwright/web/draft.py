"""A line file on its way to the next revision: what its fields hold as typed text, and the file with other entries in them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pullwright.line import Line, LineFileError
from pullwright.line.edit import EditError, add_item, also_changes, remove_field, remove_item, set_field
from pullwright.line.faults import Fault, Path, path_words
from pullwright.line.marks import Tree
from pullwright.line.writing import flow
from pullwright.line.yaml_tree import read_tree
from pullwright.web.line_fields import LineField, fields_of, model_at

NEW = "new"
"""In the place of a number: an entry that is not in the list yet."""
_PART = re.compile(r"([^.\[\]]+)|\[(\d{1,7})\]")
_MOST_DEEP = 12


class NotDone(Exception):  # noqa: N818  (says what happened)
    """Entries that cannot be put into the file: `errors` by field, `said` where it concerns none of them."""

    def __init__(self, errors: Mapping[str, str], said: str = "") -> None:
        super().__init__(said or "; ".join(errors.values()))
        self.errors, self.said = dict(errors), said


@dataclass(frozen=True)
class Section:
    """One mapping of a line file that a form shows: its path, which ends with NEW where it is not in the file yet."""

    path: Path

    @classmethod
    def named(cls, words: str) -> Section | None:
        """Read a section as an address has it; None when no mapping of a line file can stand there.

        >>> Section.named("steps.2.set_up").path, Section.named("steps.new").path, Section.named("steps.2.name")
        (('steps', 2, 'set_up'), ('steps', 'new'), None)
        """
        parts = words.split(".") if words else []
        if len(parts) > _MOST_DEEP:
            return None
        path: Path = tuple(int(part) if part.isascii() and part.isdigit() and len(part) < 8 else part for part in parts)
        inside = (*path[:-1], 0) if path and path[-1] == NEW else path
        return None if model_at(inside) is None else cls(path)

    @property
    def name(self) -> str:
        """The section as an address has it."""
        return ".".join(str(step) for step in self.path)

    @property
    def is_new(self) -> bool:
        """Whether it is an entry that is not in the list yet."""
        return bool(self.path) and self.path[-1] == NEW

    @property
    def is_entry(self) -> bool:
        """Whether it is one of a list."""
        return bool(self.path) and isinstance(self.path[-1], int)

    @property
    def fields(self) -> tuple[LineField, ...]:
        """The fields that it may have."""
        model = model_at((*self.path[:-1], 0) if self.is_new else self.path)
        return () if model is None else fields_of(model)

    @property
    def around(self) -> Section:
        """The mapping that it stands in."""
        shorter = self.path[:-1]
        return Section(shorter[:-1] if self.is_new or self.is_entry else shorter)


class Draft:
    """The text of a line file, read leniently: it may have faults that are put right one after another."""

    def __init__(self, text: str, faults: tuple[Fault, ...] | None = None) -> None:
        self.text, self._faults = text, faults

    @cached_property
    def tree(self) -> Tree:
        """The values of the file with their places."""
        return read_tree(self.text)

    @cached_property
    def faults(self) -> tuple[Fault, ...]:
        """Everything that is wrong with the file as it stands."""
        if self._faults is not None:
            return self._faults
        try:
            Line.from_text(self.text)
        except LineFileError as error:
            return error.faults
        return ()

    def value(self, path: Path) -> Any:
        """Return what stands at a path; None when nothing does."""
        here = self.tree.data
        for step in path:
            there = isinstance(here, dict) and step in here
            there = there or (isinstance(here, list) and isinstance(step, int) and 0 <= step < len(here))
            if not there:
                return None
            here = here[step]
        return here

    def holds(self, section: Section) -> bool:
        """Whether the section is a mapping of the file, or could be added to one."""
        if section.is_new or not section.is_entry:
            return not section.path or isinstance(self.value(section.around.path), dict) or self.holds(section.around)
        return isinstance(self.value(section.path), dict)

    def typed(self, section: Section, field: LineField) -> str:
        """Return what a field holds, as a person types it."""
        return typed_text(None if section.is_new else self.value((*section.path, field.name)))

    def names(self, *lists: str) -> tuple[str, ...]:
        """Return the names of the entries of some lists of the file."""
        entries = [entry for words in lists for entry in self.value(tuple(words.split("."))) or ()]
        named = [entry["name"] for entry in entries if isinstance(entry, dict) and entry.get("name") is not None]
        return tuple(dict.fromkeys(str(name) for name in named))

    def repeated(self, section: Section) -> tuple[str, ...]:
        """Return the other places of the file in which what is changed here changes too."""
        if section.is_new or not section.path:
            return ()
        try:
            return tuple(path_words(path) for path in also_changes(self.text, section.path))
        except EditError:
            return ()

    def with_entries(self, section: Section, typed: Mapping[str, str]) -> tuple[str, Section]:
        """Return the text with these entries in the fields of a section, and the section as it is called then.

        Raises NotDone with a message at each field that cannot be changed.
        """
        changed = {
            field: words
            for field in section.fields
            if (words := typed.get(field.name)) is not None and words.strip() != self.typed(section, field).strip()
        }
        if section.is_new:
            return self._with_new(section, changed)
        text, errors = self.text, {}
        for field, words in changed.items():
            path = (*section.path, field.name)
            try:
                text = set_field(text, path, read_typed(field, words)) if words.strip() else remove_field(text, path)
            except EditError as error:
                errors[field.name] = _said(error)
        if errors:
            raise NotDone(errors)
        return text, section

    def _with_new(self, section: Section, changed: Mapping[LineField, str]) -> tuple[str, Section]:
        entry: dict[str, Any] = {}
        errors: dict[str, str] = {}
        for field, words in changed.items():
            try:
                if words.strip():
                    entry[field.name] = read_typed(field, words)
            except EditError as error:
                errors[field.name] = _said(error)
        if errors:
            raise NotDone(errors)
        if not entry:
            return self.text, section
        entries = self.value(section.path[:-1])
        number = len(entries) if isinstance(entries, list) else 0
        try:
            return add_item(self.text, section.path[:-1], entry), Section((*section.path[:-1], number))
        except EditError as error:
            raise NotDone({}, _said(error)) from error

    def with_step_before(self, section: Section, following: str) -> str:
        """Return the text in which the step of a section comes before another: that one takes from it, and it from what that one took.

        Raises NotDone when there is no such step.
        """
        steps = self.value(("steps",))
        names = [entry.get("name") if isinstance(entry, dict) else None for entry in steps]
        if following not in names:
            raise NotDone({}, f"There is no step {following[:80]!r} to come before.")
        index = names.index(following)
        taken = steps[index].get("after")
        if taken is None:
            taken = [names[index - 1]] if index else []
        mine = self.value(section.path)
        try:
            text = self.text if "after" in mine else set_field(self.text, (*section.path, "after"), taken)
            return set_field(text, ("steps", index, "after"), [str(mine.get("name", ""))])
        except EditError as error:
            raise NotDone({}, _said(error)) from error

    def without(self, section: Section) -> str:
        """Return the text without a section; NotDone when it cannot be taken out."""
        try:
            if section.is_entry:
                return remove_item(self.text, section.path[:-1], int(section.path[-1]))
            return remove_field(self.text, section.path)
        except EditError as error:
            raise NotDone({}, _said(error)) from error

    def section_of(self, fault: Fault) -> Section:
        """Return the section in which a fault can be put right."""
        path: list[str | int] = []
        for words, number in _PART.findall(fault.field):
            path.append(int(number) - 1 if number else words)
        while path and (model_at(tuple(path)) is None or not self.holds(Section(tuple(path)))):
            path.pop()
        return Section(tuple(path))


def typed_text(value: Any) -> str:
    """Return a value of a line file as a person types it into a form.

    >>> typed_text("45 s"), typed_text(["saw", "hone"]), typed_text({"mean": "45 s", "cv": 0.2}), typed_text(True)
    ('45 s', 'saw, hone', '{mean: 45 s, cv: 0.2}', 'yes')
    """
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case dict():
            return flow(value)
        case list():
            plain = all(
                not isinstance(item, dict | list) and not re.search(r"[,\"'\[\]{}]", str(item)) for item in value
            )
            return ", ".join(typed_text(item) for item in value) if plain and value else flow(value)
    return str(value)


def read_typed(field: LineField, words: str) -> Any:
    """Return what was typed into a field as the value that the file gets; EditError when it cannot be one."""
    text = words.strip()
    if field.shape == "list" and not text.startswith("["):
        if "{" not in text:
            return [part.strip() for part in text.split(",") if part.strip()]
        text = f"[{text}]"
    if not text.startswith(("{", "[")):
        return text
    tree = read_tree(text)
    if tree.faults or tree.data is None:
        said = tree.faults[0].message if tree.faults else "nothing was read"
        raise EditError((field.name,), f"{words.strip()[:60]!r} was read: {said}", "look for a bracket or a comma")
    return tree.data


def _said(error: EditError) -> str:
    text = error.message[:1].upper() + error.message[1:]
    return f"{text}. {error.hint[:1].upper()}{error.hint[1:]}." if error.hint else f"{text}."

"""Forms: one table of fields that checks, draws and documents them; what somebody typed is never lost."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import BinaryIO, Literal

from starlette.datastructures import FormData, UploadFile

from pullwright.web.pieces import TextFault
from pullwright.web.problems import Problem, Wrong
from pullwright.web.seal import SEAL_FIELD

FieldKind = Literal["line", "text", "code", "choice", "file", "data", "kept"]
"""One line, some lines, a text with line numbers, one of several, a text file, a data file of any kind, or kept from the
page that was shown."""
PRESSED = "do"
"""The field that says which button was pressed, where a form has several."""
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
_CONTROL_OR_BREAK = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_HALF_CHARACTER = re.compile(r"[\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its name, its words, what may be typed (`most` counts characters) and how it is drawn.

    `into` is the field that a chosen file fills. A field with `asked_by` may stay empty unless that button is pressed.
    `known` are words that may be typed here, offered while somebody types.
    """

    name: str
    label: str
    hint: str = ""
    kind: FieldKind = "line"
    required: bool = True
    most: int = 200
    choices: tuple[tuple[str, str], ...] = ()
    autocomplete: str = "off"
    into: str = ""
    asked_by: str = ""
    known: tuple[str, ...] = ()

    def fault(self, typed: str) -> str:
        """Return what is wrong with what was typed, in words, or nothing.

        >>> Field("who", "Who").fault("")
        'Nothing was typed here, and it is needed.'
        >>> Field("who", "Who", most=3).fault("A. Weber")
        '8 characters were read; at most 3 are allowed. Shorten it.'
        """
        if not typed.strip():
            missing = "No file was chosen" if self.kind == "data" else "Nothing was typed here"
            return f"{missing}, and it is needed." if self.required else ""
        if len(typed) > self.most:
            return f"{len(typed):,} characters were read; at most {self.most:,} are allowed. Shorten it."
        if odd := (_CONTROL if self.kind in ("text", "code") else _CONTROL_OR_BREAK).search(typed):
            line = typed.count("\n", 0, odd.start()) + 1
            return f"The control character U+{ord(odd[0]):04X} in line {line} cannot be kept here. Remove it."
        if self.kind == "choice" and typed not in {value for value, _ in self.choices}:
            allowed = ", ".join(words for _, words in self.choices)
            return f"{typed[:40]!r} was read; one of these is allowed: {allowed}."
        return ""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A data file as it was sent: its name, its size in bytes, and its content, open until the request is answered."""

    name: str
    size: int
    content: BinaryIO


@dataclass(frozen=True, slots=True)
class Typed:
    """One field as it stands on the page: the field, what was typed in it, and what is wrong with it."""

    field: Field
    typed: str
    error: str = ""


@dataclass(frozen=True, slots=True)
class Filled:
    """A form as it was typed. Hand it `back` with messages, and the person finds everything as they left it.

    >>> form = Form("new-line", Field("title", "Title"))
    >>> filled = form.filled({"title": "Valve line"})
    >>> filled["title"].typed, filled.back({"title": "There is one already."})["title"].error
    ('Valve line', 'There is one already.')
    """

    form: Form
    typed: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[TextFault, ...] = ()
    notice: str = ""
    status: int = 200
    files: Mapping[str, Chosen] = field(default_factory=dict)
    """The data files that were sent, by the name of their field; what is typed there is the name of the file."""
    beside: Mapping[str, object] = field(default_factory=dict)
    """What else the page shows now: new values for fields of the page."""

    def __getitem__(self, name: str) -> Typed:
        """Return one field as it stands."""
        return Typed(self.form[name], self.typed.get(name, ""), self.errors.get(name, ""))

    @property
    def fields(self) -> tuple[Typed, ...]:
        """All fields as they stand, in their order."""
        return tuple(self[known.name] for known in self.form.fields)

    @property
    def wrong(self) -> tuple[Typed, ...]:
        """The fields with something wrong, in their order."""
        return tuple(entry for entry in self.fields if entry.error)

    @property
    def sent_back(self) -> bool:
        """Whether it came back to the person, nothing having been changed."""
        return self.status != 200

    def back(
        self,
        errors: Mapping[str, str] | None = None,
        *,
        status: int = 422,
        notice: str = "",
        faults: tuple[TextFault, ...] = (),
        beside: Mapping[str, object] | None = None,
    ) -> Filled:
        """Return the same form with messages at its fields (by name), a notice as first line, or faults in its text."""
        for name in errors or {}:
            self.form[name]
        return replace(
            self,
            status=status,
            notice=notice,
            faults=faults,
            errors={**self.errors, **(errors or {})},
            beside=beside or {},
        )

    def shown_again(self, notice: str, *, typed: Mapping[str, str] | None = None, **beside: object) -> Filled:
        """Return the form as it goes on, nothing being wrong with it: with a notice, perhaps with other entries.

        >>> Form("f", Field("who", "Who")).filled({"who": "A. Weber"}).shown_again("It can be read.").status
        200
        """
        kept = {**self.typed, **(typed or {})}
        return replace(self, typed=kept, errors={}, faults=(), notice=notice, status=200, beside=beside)

    def finding(self) -> str:
        """Return the first line of the page that comes back.

        >>> Form("f", Field("who", "Who")).filled({"who": ""}).checked().finding()
        'Nothing was changed yet: 1 entry needs another look.'
        """
        if self.notice:
            return self.notice
        count = len(self.errors) + len(self.faults)
        return f"Nothing was changed yet: {count} {'entry needs' if count == 1 else 'entries need'} another look."

    def checked(self) -> Filled:
        """Return the form with a message at each field whose entry is not allowed."""
        pressed = self.typed.get(PRESSED, "")
        errors = {
            entry.field.name: fault
            for entry in self.fields
            if (fault := entry.field.fault(entry.typed))
            and (entry.typed.strip() or not entry.field.asked_by or entry.field.asked_by == pressed)
        }
        return self.back(errors) if errors or self.errors else self

    def problem(self) -> Problem:
        """Return what is wrong for a program that sent the form."""
        wrong = [Wrong(entry.field.name, entry.error) for entry in self.wrong]
        wrong += [Wrong(f"line {fault.line}", fault.message or fault.allowed) for fault in self.faults]
        read = f"the form {self.form.name!r} with {len(self.typed)} entries"
        return Problem(self.status, read, title=self.finding(), wrong=tuple(wrong))


class Form:
    """The fields of one form, in the order in which they are asked.

    >>> Form("new-line", Field("title", "Title"), Field("why", "Why", required=False)).names
    ('title', 'why')
    """

    def __init__(self, name: str, *fields: Field) -> None:
        self.name = name
        self.fields = fields
        self._by_name = {known.name: known for known in fields}
        if len(self._by_name) != len(fields) or SEAL_FIELD in self._by_name:
            raise ValueError(f"the form {name!r} has two fields of one name, or one that is named {SEAL_FIELD!r}")

    def __getitem__(self, name: str) -> Field:
        """Return a field; KeyError when the form has none of that name."""
        return self._by_name[name]

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the fields."""
        return tuple(self._by_name)

    def filled(self, typed: Mapping[str, str]) -> Filled:
        """Return the form filled with these entries; entries that it does not have are left out."""
        return Filled(self, {name: typed.get(name, "") for name in self._by_name})

    def read(self, sheet: FormData) -> Filled:
        """Read what was sent: line ends become one kind, a chosen file fills the field it is meant for.

        Raises Problem (400) for entries that no form of ours sends: one sent twice, or a file where none is asked for.
        """
        typed: dict[str, str] = {}
        errors: dict[str, str] = {}
        chosen: dict[str, str] = {}
        files: dict[str, Chosen] = {}
        for name, value in sheet.multi_items():
            if name not in self._by_name:
                continue
            known = self._by_name[name]
            if name in typed or (known.kind not in ("file", "data") and not isinstance(value, str)):
                raise Problem(400, f"the entry {name!r} twice or as a file", allowed="One text for each entry.")
            if isinstance(value, UploadFile) and known.kind == "data":
                typed[name] = _file_name(value)
                if value.size:
                    files[name] = Chosen(typed[name], value.size, value.file)
                elif value.filename:
                    errors[name] = f"{typed[name]!r} was read, and it is empty. Choose the file that holds the data."
                continue
            if known.kind == "data":
                typed[name] = ""
                continue
            if isinstance(value, UploadFile):
                typed[name] = ""
                text, error = _text_of(value)
                errors |= {name: error} if error else {}
                chosen |= {known.into: text} if text and not error else {}
                continue
            if _HALF_CHARACTER.search(value):
                raise Problem(400, f"half a character in the entry {name!r}", allowed="Text in UTF-8.")
            typed[name] = _with_one_line_end(value)
        return replace(self.filled({**typed, **chosen}), errors=errors, files=files)

    def schema(self) -> dict[str, object]:
        """Return the OpenAPI description of what is sent."""
        properties: dict[str, object] = {
            SEAL_FIELD: {"type": "string", "description": "The seal from the page that shows the form."}
        }
        for known in self.fields:
            entry: dict[str, object] = {"type": "string", "maxLength": known.most, "description": known.label}
            if known.choices:
                entry["enum"] = [value for value, _ in known.choices]
            if known.kind in ("file", "data"):
                entry = {"type": "string", "format": "binary", "description": known.label}
            properties[known.name] = entry
        required = [SEAL_FIELD, *(known.name for known in self.fields if known.required and not known.asked_by)]
        shape = {"type": "object", "properties": properties, "required": required}
        media = ("multipart/form-data", "application/x-www-form-urlencoded")
        return {"required": True, "content": {kind: {"schema": shape} for kind in media}}


def _with_one_line_end(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _file_name(file: UploadFile) -> str:
    """Return the last part of the name of a chosen file, without what cannot be seen."""
    last = re.split(r"[/\\]", file.filename or "")[-1]
    return _CONTROL_OR_BREAK.sub("", last).strip()[:120]


def _text_of(file: UploadFile) -> tuple[str, str]:
    """Return the text of a chosen file, or what is wrong with it in words."""
    raw = file.file.read()
    name = f"{file.filename[:60]!r}" if file.filename else "the file"
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        hint = " It is saved as UTF-16." if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else ""
        return (
            "",
            f"{name} was read, and byte {error.start + 1:,} of it is no text in UTF-8.{hint} Save it as UTF-8 text.",
        )
    if "\0" in text:
        return "", f"{name} was read, and it holds zero characters: it is no text. Choose a line file."
    return _with_one_line_end(text), ""

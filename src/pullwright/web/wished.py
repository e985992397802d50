"""Wishes in an address: `?balance.posts=8` wishes for eight posts at most, an empty text takes a wish of the line file back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import urlencode

from pullwright.line import Line, LineFileError
from pullwright.line.edit import EditError
from pullwright.line.faults import likely_slip
from pullwright.pull.changes import applied
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.wished import BY_NAME, WISHES, wish_changes, wishes_in
from pullwright.web.pieces import Piece
from pullwright.web.problems import NextStep, Problem, Wrong

LONGEST = 4_000
"""Characters of one wish in an address."""


class WishField(Piece):
    """One wish as a form shows it: what is typed, what the line file says, and how it may be typed."""

    name: str
    says: str
    like: str
    typed: str
    in_file: str
    several: bool
    choices: tuple[str, ...]


@dataclass(frozen=True)
class Wished:
    """What is wished beside or in place of what the line file says; nothing: its own wishes hold."""

    in_file: dict[str, str]
    typed: dict[str, str]
    text: str

    @cached_property
    def query(self) -> str:
        """The wishes as an address asks for them."""
        return urlencode(list(self.typed.items()))

    @property
    def words(self) -> str:
        """Say what is wished otherwise than in the file."""
        said = [
            f"{BY_NAME[name].says}: {'; '.join(typed.splitlines()) or 'no wish'}" for name, typed in self.typed.items()
        ]
        return ", ".join(said)

    def fields(self, chapter: str) -> tuple[WishField, ...]:
        """The wishes of one part of the plan, for its form."""
        return tuple(
            WishField(
                name=wish.name, says=wish.says, like=wish.like, typed=self.typed.get(wish.name, self.in_file.get(wish.name, "")),
                in_file=self.in_file.get(wish.name, ""), several=wish.several, choices=wish.choices,
            )
            for wish in WISHES
            if wish.chapter == chapter
        )  # fmt: skip


def read_wishes(asked: Iterable[tuple[str, str]], line: Line, page: str) -> Wished:
    """Read the wishes of an address.

    Parameters: `asked`, its names and texts; `line`, as its file says; `page`, the address of the page without any wish.
    What the file says already is no wish of the address. Problem (422) names everything that cannot be read.
    """
    in_file = wishes_in(line)
    typed: dict[str, str] = {}
    wrong: list[Wrong] = []
    for name, text in asked:
        said = "\n".join(row.strip() for row in text.replace("|", "\n").splitlines() if row.strip())
        if name not in BY_NAME:
            hint = likely_slip(name, list(BY_NAME))
            wrong.append(Wrong(name[:80] or "(no name)", f"there is no such wish{': ' + hint if hint else ''}"))
        elif name in typed:
            wrong.append(Wrong(name, "it is wished twice; give it once"))
        elif len(said) > LONGEST:
            wrong.append(Wrong(name, f"{len(said):,} characters were read; allowed: at most {LONGEST:,}"))
        elif said != in_file.get(name, ""):
            typed[name] = said
    text = line.text
    for name, said in typed.items():
        try:
            text = applied(text, wish_changes({name: said}))
        except (BadPlanInput, EditError) as error:
            wrong.append(Wrong(name, str(error)))
    if typed and not wrong:
        try:
            Line.from_text(text)
        except LineFileError as error:
            wrong += [
                Wrong(fault.field.removeprefix("plan."), str(fault).partition(": ")[2] or str(fault))
                for fault in error.faults
            ]
    if wrong:
        raise Problem(
            422,
            "wishes: " + ", ".join(dict.fromkeys(one.field for one in wrong[:4])),
            title="This cannot be wished.",
            allowed="The wishes of the plan page, each as the hint beside it says.",
            todo="Correct what is named below: the page before still has what was typed. Or start from the wishes of the line file.",
            wrong=tuple(wrong[:20]),
            steps=(NextStep("The plan with the wishes of the line file", page),),
        )
    return Wished(in_file, typed, text)

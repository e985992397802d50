"""Where a number comes from: the source of a figure, down to the readings somebody took."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Reading:
    """What did somebody read off at the line, and when?

    Parameters: `value` in `unit` (a key of the table of units), `when` and `who` as written down, `where` the
    reading stands ("line 41", "row 17 of study.csv"), and `origin`, where it was copied from when it stands somewhere
    else now ("row 17 of study.csv" of a reading that a line file repeats).

    >>> Reading(45.2, "s", when="2024-03-04 09:12", where="row 17 of study.csv").value
    45.2
    """

    value: float
    unit: str
    when: str = ""
    who: str = ""
    where: str = ""
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Source:
    """Where does this number come from?

    Parameters: `kind` is one of "line file", "study", "reading", "count", "published", "common practice",
    "computed"; `text` is what a person reads ("steps.hone.machine", "study T-014"); `file` and `line` (counted
    from 1) say where it is written; `readings` are the readings behind it; `origin` is what it was written down from
    ("rows 2 to 212 of shop.csv").

    >>> Source("line file", "steps.hone.machine", file="line.yaml", line=41).place
    'line.yaml:41'
    """

    kind: str
    text: str
    file: str | None = None
    line: int | None = None
    readings: tuple[Reading, ...] = ()
    origin: str = ""

    @property
    def place(self) -> str:
        """File and line as "line.yaml:41"; empty where the source is not written in a file."""
        if self.file is None:
            return "" if self.line is None else f"line {self.line}"
        return self.file if self.line is None else f"{self.file}:{self.line}"

    def __str__(self) -> str:
        text = f"{self.text} ({self.place})" if self.place else self.text
        return f"{text}, from {self.origin}" if self.origin else text

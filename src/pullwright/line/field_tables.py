"""The tables of docs/line_file.md: every field that a line file may hold, out of the model and its comments."""

from __future__ import annotations

import inspect

from pydantic import BaseModel

from pullwright.line.fields import mappings, rows, title


def field_tables() -> str:
    """Which fields are there, what does each mean, what may stand there, and what holds where it is left out?

    One table for each kind of mapping, as Markdown, in the order in which they come up from the top of a file.

    >>> print(*field_tables().splitlines()[4:7], sep="\\n")
    | field | what it means | what may stand there | where it is left out |
    |---|---|---|---|
    | `line` | What the line is called. | a name | needed |
    """
    return "\n".join(_table(model) for model in mappings())


def _table(model: type[BaseModel]) -> str:
    about = " ".join(inspect.cleandoc(model.__doc__ or "").split())
    lines = [
        f"### {title(model)}",
        "",
        about,
        "",
        "| field | what it means | what may stand there | where it is left out |",
        "|---|---|---|---|",
    ]
    for row in rows(model):
        otherwise = "needed" if row.needed else f"`{row.otherwise}`" if row.otherwise else ""
        lines.append(f"| `{row.name}` | {row.means} | {row.may_be} | {otherwise} |".replace("|  |", "| |"))
    return "\n".join([*lines, ""])

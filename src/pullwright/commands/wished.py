"""A line with the wishes of the command line, for all commands that plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from pullwright.commands.terminal import read_line, stop

if TYPE_CHECKING:
    from pullwright.line import Line


def wished_line(path: Path, given: list[str], as_json: bool) -> tuple[Line, str]:
    """The line with these wishes, and its text; what cannot be wished is said, and the program ends with status 2."""
    from pullwright.line import Line, LineFileError
    from pullwright.line.edit import EditError
    from pullwright.pull.changes import applied
    from pullwright.pull.errors import BadPlanInput
    from pullwright.pull.wished import wish_changes

    line = read_line(path, as_json=as_json)
    if not given:
        return line, line.text
    typed: dict[str, str] = {}
    for one in given:
        name, equal, said = one.partition("=")
        if not equal:
            stop(
                f"--wish {one!r} was read; allowed: NAME=TEXT, such as balance.posts=8 (all names: pullwright plan {path} --wishes)"
            )
        if name.strip() in typed:
            stop(f"--wish {name.strip()} is given twice; give it once, with | between its entries.")
        typed[name.strip()] = said
    try:
        text = applied(line.text, wish_changes(typed))
        return Line.from_text(text, name=f"{path.name} with what is wished"), text
    except LineFileError as error:
        stop(
            "\n".join(
                f"--wish {fault.field.removeprefix('plan.')}: {fault.message or fault.allowed}"
                for fault in error.faults
            )
        )
    except (BadPlanInput, EditError) as error:
        stop(f"--wish: {error}")

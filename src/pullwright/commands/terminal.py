"""What all commands share: a line file read or told why not, JSON for machines, and the end with status 2."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import typer

if TYPE_CHECKING:
    from collections.abc import Callable

    from pullwright.figure import Figure
    from pullwright.line import Line


def stop(message: str) -> NoReturn:
    """Say what is wrong, and end with status 2."""
    print(message, file=sys.stderr)
    raise typer.Exit(2)


def print_json(value: Any) -> None:
    """Print plain values as JSON."""
    print(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def tell_names(listed: list[str], *, as_json: bool) -> None:
    """List the names of figures."""
    print_json(listed) if as_json else print("\n".join(listed))


def tell_why(
    find: Callable[[str], Figure],
    name: str,
    currency: str,
    listing: str,
    *,
    depth: int | None = None,
    as_json: bool = False,
) -> None:
    """Say why a figure is what it is; where there is none of that name, name the nearest, and `listing`, the command that lists all."""
    from pullwright.survey.survey import UnknownFigureError

    try:
        answer = find(name).why(depth, currency)
    except UnknownFigureError as error:
        stop(f"{error}\nAll names: {listing}")
    print_json(answer.as_dict()) if as_json else print(answer)


def read_line(path: Path, *, as_json: bool = False) -> Line:
    """Read a line file; where it cannot be, its faults are told (`as_json`: also as JSON) and the program ends with status 2."""
    from pullwright.line import Line, LineFileError

    try:
        return Line.read(path)
    except LineFileError as error:
        if as_json:
            print_json({"file": str(path), "faults": [fault.as_dict() for fault in error.faults]})
        stop(str(error))
    except IsADirectoryError:
        stop(f"{path} is a folder: name the line file in it.")
    except OSError as error:
        stop(f"{path} cannot be read ({error.strerror or error}): name a line file, such as examples/hand_pump.yaml.")


def write_print(target: Path, made: bytes, option: str) -> None:
    """Write a print whole or not at all; where it cannot be, the program ends with status 2 and names the option that says another place."""
    beside = target.with_name(f".{target.name}.part")
    try:
        beside.write_bytes(made)
        beside.replace(target)
    except OSError as error:
        beside.unlink(missing_ok=True)
        stop(f"{target} could not be written ({error.strerror or error}): name another place with {option}.")

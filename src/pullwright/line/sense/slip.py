"""One contradiction in a line, before its place in the file is looked up."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from pullwright.line.faults import Path
from pullwright.line.model import LineModel


class Slip(NamedTuple):
    """The path of the field to look at, what was read there, what is allowed, and the whole in a sentence."""

    path: Path
    read: str
    allowed: str
    message: str
    hint: str = ""


class Check(NamedTuple):
    """A check of whole parts of a line: the parts that it reads, and whether all names in them must refer to something."""

    find: Callable[[LineModel], Iterator[Slip]]
    reads: tuple[str, ...]
    names: bool = False

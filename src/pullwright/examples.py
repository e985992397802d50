"""The line files that come with Pullwright: our own scenario first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import overload

_PACKAGED = Path(__file__).parent / "examples"
_IN_CHECKOUT = Path(__file__).parents[2] / "examples"


@dataclass(frozen=True)
class Example:
    """A line file to start from: the key and the title it gets, and its text."""

    key: str
    title: str
    file: Path

    @cached_property
    def text(self) -> str:
        """The text of the file."""
        return self.file.read_text("utf-8")


TITLES: dict[str, str] = {
    "hand_pump": "Hand pump line",
    "first_line": "A first line",
}
"""Name of the file and title of each example, in the order in which they are offered."""


class _Examples(Sequence[Example]):
    """The examples whose files are there."""

    @cached_property
    def _found(self) -> tuple[Example, ...]:
        folder = _PACKAGED if _PACKAGED.is_dir() else _IN_CHECKOUT
        files = {file.stem: file for file in sorted(folder.glob("*.yaml"))}
        names = [*(name for name in TITLES if name in files), *(name for name in files if name not in TITLES)]
        return tuple(
            Example(name.replace("_", "-"), TITLES.get(name, name.replace("_", " ").capitalize()), files[name])
            for name in names
        )

    @overload
    def __getitem__(self, index: int) -> Example: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Example]: ...
    def __getitem__(self, index: int | slice) -> Example | Sequence[Example]:
        return self._found[index]

    def __len__(self) -> int:
        return len(self._found)


EXAMPLES: Sequence[Example] = _Examples()

"""Answers by name that are worked out when somebody asks for them: a screen that waits shows a dozen of some hundreds."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Generic, TypeVar

T = TypeVar("T")


class WhenAsked(Mapping[str, T], Generic[T]):
    """A mapping from names to what is made of them, once, when it is asked for.

    >>> lengths = WhenAsked(("saw", "hone"), len)
    >>> lengths["hone"], list(lengths)
    (4, ['saw', 'hone'])
    """

    def __init__(self, names: Mapping[str, object] | tuple[str, ...], make: Callable[[str], T]) -> None:
        self._names = dict.fromkeys(names)
        self._make = make
        self._made: dict[str, T] = {}

    def __getitem__(self, name: str) -> T:
        """What is made of this name; KeyError where there is none of that name."""
        if name not in self._made:
            if name not in self._names:
                raise KeyError(name)
            self._made[name] = self._make(name)
        return self._made[name]

    def __contains__(self, name: object) -> bool:
        """Is there something of this name? Nothing is worked out for that."""
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        """The names, in their order."""
        return iter(self._names)

    def __len__(self) -> int:
        """How many names."""
        return len(self._names)

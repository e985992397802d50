"""The desk: what every page finds lying ready, whoever asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends
from starlette.requests import Request

from pullwright.examples import Example
from pullwright.web.foreseen import Forecasts
from pullwright.web.shelf import Shelf
from pullwright.web.slow_shelf import SlowShelf

if TYPE_CHECKING:
    from pullwright.record import Record


@dataclass(frozen=True, slots=True)
class Desk:
    """The record that pages read and write, the examples that a new line may start from, the lines that are worked out,
    what takes longer than a page may take, and what was foreseen."""

    record: Record
    examples: Sequence[Example] = ()
    shelf: Shelf = field(default_factory=Shelf)
    slow: SlowShelf = field(default_factory=SlowShelf)
    forecasts: Forecasts = field(default_factory=Forecasts)


def desk_of(request: Request) -> Desk:
    """Return the desk of the application that a request came to."""
    desk: Desk = request.app.state.desk
    return desk


AtDesk = Annotated[Desk, Depends(desk_of)]
"""What a view writes for its parameter: `def accounts(key: Key, desk: AtDesk) -> AccountsPage`."""

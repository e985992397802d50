"""One field of a frozen line made anew, with all that holds it, each checked by the model as if it had been read from a file."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from pydantic import ValidationError

from pullwright.forecast.search.errors import CannotTurn
from pullwright.line import Line
from pullwright.line.item import LineItem
from pullwright.line.sense import check_sense

Item = TypeVar("Item", bound=LineItem)


def with_fields(item: Item, currency: str, **changes: Any) -> Item:
    """The same item with other values in these fields, checked by its model; what stands in the rest stays as it is."""
    fields = type(item).model_fields
    data = {fields[name].alias or name: getattr(item, name) for name in item.model_fields_set | set(changes)}
    data |= {fields[name].alias or name: value for name, value in changes.items()}
    try:
        return type(item).model_validate(data, context={"currency": currency})
    except ValidationError as error:
        said = "; ".join(f"{' / '.join(map(str, one['loc']))}: {one['msg']}" for one in error.errors(include_url=False))
        raise CannotTurn(said) from None


def replaced(items: tuple[Item, ...], index: int, change: Callable[[Item], Item]) -> tuple[Item, ...]:
    """The same items with one of them changed."""
    return tuple(change(item) if k == index else item for k, item in enumerate(items))


def rebuilt(line: Line, **changes: Any) -> Line:
    """The same line with other values in these top fields; sources still name the places of the file that it was read from."""
    new = with_fields(line, line.currency, **changes)
    new._tree, new._text, new._file = line._tree, line._text, line._file
    return new


def sensible(line: Line, said: str) -> Line:
    """The line, where nothing in it contradicts itself; otherwise CannotTurn with every contradiction, after what was `said`."""
    faults = list(check_sense(line, line._tree))
    if faults:
        raise CannotTurn(f"{said}: {'; '.join(f'{one.field}: {one.message or one.allowed}' for one in faults)}")
    return line

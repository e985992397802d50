"""Stock that no product takes: it is paid for and lies there like any other, and all of it is beyond what the flow needs."""

from __future__ import annotations

from math import inf

from pullwright.account.rows import nothing
from pullwright.figure import Source, derive, given
from pullwright.flow import Flow
from pullwright.flow.counting import counted_now, grown, growth_of
from pullwright.flow.stock import Stock


def idle_parts(flow: Flow) -> tuple[Stock, ...]:
    """Which counted stores hold parts that no product uses? The flow does not know them, for nothing flows."""
    known = {stock.part for stock in flow.stocks}
    index = {part.name: p for p, part in enumerate(flow.line.parts)}
    found = []
    for s, store in enumerate(flow.line.stores):
        if store.part is not None and index[store.part] not in known:
            stock = _idle(flow, s, store.part, index[store.part])
            if stock is not None:
                found.append(stock)
    return tuple(found)


def _idle(flow: Flow, s: int, name: str, p: int) -> Stock | None:
    counted = counted_now(flow.givens, s)
    if counted is None:
        return None
    why, growth = f"no product uses {name}", growth_of(flow.givens, s)
    room = flow.line.stores[s].capacity
    return Stock(
        kind="part",
        name=name,
        step=None,
        part=p,
        store=s,
        counted=counted,
        held=counted,
        needed=nothing(f"stock needed / part {name}", "pieces", why),
        beyond=derive(
            f"stock beyond what is needed / part {name}", lambda n: n * 1.0, counted, unit="pieces", formula=f"all of it, for {why}"
        ),
        capacity=None if room is None else flow.givens.figure(("stores", s, "capacity")),
        taken=nothing(f"pieces used a day / {name}", "pieces/wd", why),
        lasts=given(f"waiting / part {name}", inf, "s", Source("computed", why)),
        made_ahead=None if growth is None else grown(f"part {name}", growth),
    )  # fmt: skip

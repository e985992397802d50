"""What runs are held against: what was promised to customers, and the floor on which things lie."""

from __future__ import annotations

import numpy as np

from pullwright.account.floor import container_of
from pullwright.flow import Flow
from pullwright.flow.givens import Givens
from pullwright.forecast.drawn import drawn
from pullwright.forecast.seen import Terms
from pullwright.forecast.whole_sets import pieces_in_a_set


def terms_of(flow: Flow, givens: Givens, draw: int | None = None) -> Terms:
    """Promises in working days ("cal d" by the calendar's working days of a year), and the containers of each place.

    Parameters: `draw`, which of the equally likely draws is taken for true (None: the values themselves).
    """
    line = flow.line
    within = np.array(
        [
            np.nan if product.promise is None else drawn(givens.span_days(("products", p, "promise")), draw)
            for p, product in enumerate(line.products)
        ]
    )
    sets = pieces_in_a_set(flow)
    beds, unbedded = [], []
    finished = [stock for stock in flow.stocks if stock.kind == "after"]
    for stock in flow.stocks:
        # The runs keep one finished store, so that what finishes in several places lies as in the first of them.
        if stock.kind == "after" and stock is not finished[0]:
            continue
        found, index = container_of(flow, stock), (stock.part if stock.part is not None else stock.step) or 0
        if found is None:
            unbedded.append((stock.words, stock.kind, index))
            continue
        path, container = found
        each = drawn(givens.figure((*path, "floor")), draw)
        in_a_set = float(sets[stock.step or 0]) if stock.kind == "before" else 1.0
        beds.append((stock.words, stock.kind, index, in_a_set, float(container.holds), float(container.stack), each))
    return Terms(within, tuple(beds), tuple(unbedded))

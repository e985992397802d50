"""The chapter of the deliveries: in which lots and how often what is bought should come, what that frees and what it costs."""

from __future__ import annotations

from pullwright.pull.deliveries.laid_out import ROWS, WORDS
from pullwright.pull.deliveries.of_line import Deliveries, PartDeliveries
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Chapter, PlanRow, PlanTable


def told_deliveries(plan: PullPlan) -> Chapter:
    """How often does each supplier come, and does it fit the room at the line?"""
    deliveries = plan.deliveries
    return Chapter(
        key="deliveries",
        title="Deliveries",
        sentence=deliveries.says[0] if deliveries.says else "Nothing is bought for this line.",
        look=any(part.today.share.value > 0 for part in deliveries.parts),
        tables=tuple(_tables(deliveries)),
        reasons=(*deliveries.says[1:], *(says for one in deliveries.suppliers for says in one.says), *map(str, deliveries.missing)),
        changes=deliveries.changes,
    )  # fmt: skip


def _tables(deliveries: Deliveries) -> list[PlanTable]:
    if not deliveries.parts:
        return []
    return [
        PlanTable(
            "Each part", ("lot today", "lot planned", "ordered at", "carried away today", "carried away then", "cash bound today", "cash bound then", "saved a year"),
            tuple(map(_part, deliveries.parts)),
            ("Carried away: the share of all pieces for which there is no room at the line when they come.",),
        ),
        PlanTable(
            "All of them together", ("as planned", "saved"),
            (
                PlanRow("cash bound", (deliveries.cash, deliveries.saved_cash)),
                PlanRow("floor bound", (deliveries.floor, deliveries.saved_floor)),
                PlanRow("carrying away and back, a day", (deliveries.hours, deliveries.saved_hours)),
                PlanRow("cost of a year", (deliveries.costs, deliveries.saving)),
            ),
        ),
        PlanTable(
            "Each supplier", ("deliveries a year today", "deliveries planned", "every", "costs a year today", "costs a year then", "saved a year"),
            tuple(
                PlanRow(one.name + (f" (round trip of {', '.join(one.suppliers)})" if one.trip else ""), (one.a_year_today, one.a_year, one.every, one.costs_today, one.costs, one.saving))
                for one in deliveries.suppliers
            ),
        ),
        PlanTable(
            "What the planned rhythm costs in a year", tuple(WORDS[row] for row in ROWS),
            tuple(PlanRow(one.name, tuple(one.rows[row] for row in ROWS)) for one in deliveries.suppliers),
            behind=True,
        ),
        PlanTable("Why, part by part", ("why",), tuple(PlanRow(one.name, (" ".join(one.says),)) for one in deliveries.parts), behind=True),
    ]  # fmt: skip


def _part(part: PartDeliveries) -> PlanRow:
    look = "does not fit today" if part.today.share.value > 0 else ""
    today, planned = part.today, part.planned
    return PlanRow(
        part.name,
        (today.lot, planned.lot, part.order_at, today.share, planned.share, today.cash, planned.cash, part.saving),
        look,
    )

"""The text of a drafted line file: its parts one below the other, each guess with where it comes from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from pullwright.line.writing import flow

from .draft_names import safe_text
from .draft_shop import drafted_calendar
from .draft_steps import studies_and_steps
from .draft_visits import rows_told
from .draft_words import days_word, duration, hour, many, rounded

if TYPE_CHECKING:
    from .decide import Decided
    from .draft_shop import Shop, Storied
    from .story.measured import Measured


@dataclass
class Page:
    """Lines of a file as they are written, and what is said beside it."""

    lines: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    to_fill_in: list[str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """The file."""
        return "\n".join(self.lines) + "\n"

    def say(self, indent: int, comment: str) -> None:
        """A comment of its own line or lines."""
        left = safe_text(comment, 2_000)
        while left:
            cut = len(left) if len(left) <= 118 else left.rfind(" ", 40, 118)
            cut = cut if cut > 0 else 118
            self.lines.append(f"{' ' * indent}# {left[:cut]}")
            left = left[cut:].strip()

    def put(self, text: str, comment: str = "") -> None:
        """One line, with a comment behind it."""
        self.lines.append(text + (f"    # {safe_text(comment, 300)}" if comment else ""))


def written(shop: Shop, story: Storied, decided: Decided, title: str, most: int) -> Page:
    """The whole draft; `most` readings of a step are written down."""
    page = Page()
    _head(page, shop, story, decided, title)
    _calendar(page, story)
    _products(page, shop, story)
    _stations(page, shop, story)
    studies = studies_and_steps(page, shop, story, most)
    _stores(page, shop, story)
    _people(page, story)
    _unknown(page)
    if studies:
        page.lines.append("")
        page.say(
            0,
            "Times read from the log. A reading is one visit of an order to a step: its booked working time, set-ups and breakdowns left out, by its pieces.",
        )
        page.put("studies:")
        page.lines.extend(studies)
    return page


def _head(page: Page, shop: Shop, story: Storied, decided: Decided, title: str) -> None:
    used, read = decided.events.table.height, decided.source.table.height
    page.say(
        0,
        f"Drafted from {shop.file}: {used:,} of its {read:,} rows, {len(shop.cases):,} orders, {story.calendar.first} to {story.calendar.last}.",
    )
    page.say(
        0,
        "Every number below is what was booked. Go to the floor with it, correct it, and take the comments out as you do.",
    )
    page.say(
        0, "No work here counts as value-adding: a log does not know what the customer pays for. Say so, step by step."
    )
    page.put(f"line: {flow(title)}")
    page.put(f"about: {flow(f'Drafted from {shop.file}; look at every comment before you trust it.')}")
    page.put("currency: EUR", "the log knows no money: which currency do you count in?")
    page.to_fill_in.append("prices, wages and the currency")


def _calendar(page: Page, story: Storied) -> None:
    found = story.calendar
    page.lines.append("")
    doubts = "; ".join(found.doubts)
    page.say(
        0,
        f"From the booked moments of the log: {found.found} Sure to {found.sure:.0%}"
        + (f"; doubtful: {doubts}." if doubts else "."),
    )
    page.say(
        0,
        f"{found.outside_count:,} moments lie outside these hours. Ask for the shift plan; say which breaks are unpaid (paid: no).",
    )
    calendar, without = drafted_calendar(found)
    if without:
        page.say(
            0, "Its breaks are left out: so few moments do not tell a break from chance. Write down the real ones."
        )
        page.left_out.append("the breaks, because the log does not show them clearly")
    page.put("calendar:")
    shifts = calendar.shifts
    days = sorted(set().union(*(shift.days for shift in shifts))) if shifts else []
    page.put(f"  days: {flow([days_word(day) for day in days] or ['mon'])}")
    page.put("  shifts:")
    for shift in shifts:
        line: dict[str, Any] = {"name": shift.name, "from": hour(shift.start), "to": hour(shift.end, end=True)}
        if sorted(shift.days) != days:
            line["days"] = [days_word(day) for day in sorted(shift.days)]
        breaks = [{"name": one.name, "from": hour(one.start), "to": hour(one.end, end=True)} for one in shift.breaks]
        if breaks:
            line["breaks"] = breaks
        page.put("    - " + flow(line))
    if found.calendar.days_off:
        page.put(f"  days_off: {flow([str(day) for day in sorted(found.calendar.days_off)])}", "days without bookings")
    if found.calendar.extra_days:
        extra = [{"on": str(day), "shifts": list(names)} for day, names in sorted(found.calendar.extra_days.items())]
        page.put("  extra_days:", "days that were worked although their weekday says no")
        for one in extra:
            page.put(f"    - {flow(one)}")


def _products(page: Page, shop: Shop, story: Storied) -> None:
    page.lines.append("")
    what = (
        "pieces finished"
        if shop.unit == "pieces"
        else "orders finished (the log books no pieces, so that one piece here is one order)"
    )
    page.say(
        0,
        f"Demand is {what} on a working day, over {story.demand.working_days:,} days: what the shop made, not what customers asked for. Ask for the orders.",
    )
    merged = sorted({visit[0].product for case, visit in shop.cases.items() if visit[0].product not in shop.products})
    named = [name for name in merged if name]
    if named:
        page.say(
            0,
            f"{len(named):,} products with few orders go in one: {', '.join(named[:12])}"
            + (" ..." if len(named) > 12 else "."),
        )
        page.left_out.append(f"{len(named):,} products with few orders are drafted as one")
    page.put("products:")
    lead = {one.name: one for one in story.lead.products}
    for product in shop.products:
        daily, cv, rows, count = _daily(shop, story, product)
        name = shop.product_names[product]
        page.put(f"  - name: {flow(name)}")
        demand: dict[str, Any] = {"mean": f"{rounded(max(daily, 1e-4))} /d"}
        if cv == cv and cv > 0:
            demand["cv"] = float(rounded(min(cv, 5.0)))
        demand["from"] = f"{many(count, 'order')}, {rows_told(rows, shop.file)}"
        page.put(f"    demand: {flow(demand)}")
        share, promise = _promise(lead.get(product, story.lead.all).worked, story.lead.all.worked)
        if promise is not None:
            page.put(
                f"    promise: {rounded(max(promise.value, 0.1))} d",
                f"{share:.0%} of {many(promise.count or count, 'order')} were through within that: what is promised?",
            )
            page.put(f"    on_time: {round(share * 100)} %")
    page.to_fill_in.append("what customers ask for and when, and what was promised to them")


def _daily(shop: Shop, story: Storied, product: str) -> tuple[float, float, list[int], int]:
    """Pieces a working day, their cv from day to day, source rows and orders of a product."""
    cases = [visits for case, visits in shop.cases.items() if shop.product_of[case] == product]
    open_ = _open_cases(story)
    last = [visits[-1] for visits in cases if visits[0].case not in open_] or [visits[-1] for visits in cases]
    days = max(1, story.demand.working_days)
    total = sum(max(shop.pieces(visit) - visit.scrapped, 0.0) or _ordered(shop, visit) for visit in last)
    known = next((one for one in story.demand.products if one.product == product), None)
    cv = known.cv_finished if known else float("nan")
    rows = [visit.rows[-1] for visit in last if visit.rows]
    return total / days, cv, rows, len(last)


def _ordered(shop: Shop, visit: Any) -> float:
    return max(visit.asked, 1.0) if shop.unit == "pieces" else 1.0


def _open_cases(story: Storied) -> set[str]:
    import polars as pl

    cases = story.lead.cases
    return set(cases.filter(pl.col("state").cast(pl.String) == "open")["case"].cast(pl.String).to_list())


def _promise(
    own: tuple[tuple[float, Measured], ...], every: tuple[tuple[float, Measured], ...]
) -> tuple[float, Measured | None]:
    for found in (own, every):
        for share, days in sorted(found, key=lambda pair: abs(pair[0] - 0.9)):
            if days.known and share >= 0.5:
                return share, days
    return 0.9, None


def _stations(page: Page, shop: Shop, story: Storied) -> None:
    page.lines.append("")
    page.say(
        0,
        "Machines are how many bookings usually went on at once at a station: count them on the floor. Floor and place are not in a log: add floor: 6 m2 and at: {x: 2 m, y: 3 m}.",
    )
    if not story.breakdowns.says:
        page.say(
            0,
            "The log marks no breakdowns, so that every outage is in the times of the steps. Keep a breakdown list for a month.",
        )
    page.put("stations:")
    loads = {one.station: one for one in story.stations.stations}
    down = {one.station: one for one in story.breakdowns.stations}
    for station, name in shop.station_names.items():
        load = loads.get(station)
        line: dict[str, Any] = {"name": name}
        if load is not None and load.machines > 1:
            line["machines"] = min(load.machines, 1_000)
        broken = down.get(station)
        if (
            broken is not None
            and broken.count
            and broken.between.known
            and broken.repair.known
            and broken.between.value > 0
        ):
            told = rows_told(broken.repair.rows, shop.file)
            repair: dict[str, Any] = {"mean": duration(max(broken.repair.value, 1.0))}
            if broken.repair_cv == broken.repair_cv and broken.repair_cv > 0:
                repair["cv"] = float(rounded(min(broken.repair_cv, 5.0)))
            line["breakdowns"] = {
                "between": {
                    "mean": duration(broken.between.value),
                    "from": f"{many(broken.count, 'breakdown')}, {told}",
                },
                "repair": {**repair, "from": f"{many(broken.count, 'breakdown')}, {told}"},
            }
        said = f"{many(load.bookings, 'booking')}, at work {load.utilisation:.0%} of the working time" if load else ""
        if load is not None and load.outside >= 0.05:
            said += f"; {load.outside:.0%} of its time is booked out of hours: who is there then?"
        page.put(f"  - {flow(line)}", said)
    page.to_fill_in.append("the floor and place of each station, the ways between them")


def _stores(page: Page, shop: Shop, story: Storied) -> None:
    """What lay before each step when the log ends: orders that were begun and are not through."""
    open_ = _open_cases(story)
    waiting: dict[str, list[tuple[float, int]]] = {}
    for case, visits in shop.cases.items():
        if case not in open_:
            continue
        way, last = shop.through[shop.product_of[case]], visits[-1]
        done = [way.index(visit.step) for visit in visits if visit.step in way]
        undone = shop.unit == "pieces" and last.pieces is None and last.step in way
        following = (
            [last.step]
            if undone
            else way[way.index(last.step) + 1 :]
            if last.step in way
            else way[max(done, default=-1) + 1 :]
        )
        pieces = max(shop.pieces(last) - last.scrapped, 0.0) or _ordered(shop, last)
        if following:
            waiting.setdefault(following[0], []).append((pieces, (last.rows or last.setup_rows or [0])[-1]))
    if not waiting:
        return
    page.lines.append("")
    page.say(
        0,
        f"Orders that were begun and not through on {story.calendar.last}, before their next step. Some may be done and not booked: go and count.",
    )
    page.put("stores:")
    for step in shop.steps:
        if step in waiting:
            some = waiting[step]
            count = {
                "on": str(story.calendar.last), "pieces": max(1, round(sum(pieces for pieces, _ in some))), "who": "log",
                "from": f"{many(len(some), 'order')}, last booked in {rows_told((row for _, row in some), shop.file)}",
            }  # fmt: skip
            page.put(f"  - {flow({'before': shop.step_names[step], 'counts': [count]})}")


def _people(page: Page, story: Storied) -> None:
    people = story.people
    if not people.says or people.most_at_once < 1:
        return
    page.lines.append("")
    page.say(
        0,
        f"{people.distinct} people have bookings, {people.most_at_once} at once at the most. Their wage and what they can do are not in the log: add wage: 24 EUR/h and skills.",
    )
    page.put("people:")
    page.put(f"  - {flow({'name': 'people', 'number': int(people.most_at_once)})}")


def _unknown(page: Page) -> None:
    page.lines.append("")
    page.say(0, "What no log knows. Take the # away and write down what you see:")
    for line in (
        "parts:       # what is bought: - {name: steel tube, supplier: tube works, price: 31.40 EUR, lead_time: 12 d}",
        "moves:       # what is carried how far: - {from: saw, to: turn, distance: 14 m, batch: 28, by: hand trolley}",
        "floor:       # {total: 140 m2, ways: 20 m2}",
        "money:       # {customers_pay_after: 45 cal d, carrying_rate: 16 %/year, floor_rent: 8.50 EUR/m2/month}",
        "samples:     # rounds of activity sampling, which say what work is value and what is waste",
    ):
        page.lines.append(f"# {line}")
    page.to_fill_in.append("for each step what of its work the customer pays for (value_adding: 60 %)")

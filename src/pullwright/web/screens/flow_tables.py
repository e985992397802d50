"""The tables of the flow: one for each thing that is worked out about stations, people, waiting, stock and the ladder."""

from __future__ import annotations

from collections.abc import Callable

from pullwright.figure import Figure
from pullwright.flow.indicators import INDICATORS
from pullwright.line.kinds import BY_KEY, KINDS
from pullwright.survey import Survey
from pullwright.web.opened import Opened
from pullwright.web.pieces import Row, Shown, Table

RUNGS = {"waiting": "waiting", "moving": "carried", "touch": "worked on"}
FIRST_INDICATORS = 5
"""So many indicators fit beside one another; the others are a second table."""


def _cells(opened: Opened, *figures: Figure | None) -> tuple[Shown | None, ...]:
    return tuple(None if figure is None else opened.show(figure) for figure in figures)


def _looks(survey: Survey, *kinds: str) -> dict[str, str]:
    found: dict[str, list[str]] = {}
    for finding in survey.findings:
        if finding.kind in kinds:
            found.setdefault(finding.place, []).append(finding.word)
    return {place: ", ".join(words) for place, words in found.items()}


def demand_table(opened: Opened) -> Table:
    """What is pulled, and what that leaves between two pieces."""
    flow = opened.survey.flow
    rows = [
        Row(words=product.name, question=product.what, figures=_cells(opened, rate))
        for product, rate in zip(opened.survey.line.products, flow.rates.products, strict=True)
    ]
    rows += [
        Row(words="net working time of a day", figures=_cells(opened, flow.day)),
        Row(
            words="takt time",
            question="Working time between two pieces that are pulled.",
            figures=_cells(opened, flow.takt),
        ),
        Row(words="share of the demand that can be made", figures=_cells(opened, flow.made)),
        Row(words="shipped", figures=_cells(opened, flow.shipped)),
    ]
    total = Row(words="demand of all products", figures=_cells(opened, flow.rates.demand))
    products = len(opened.survey.line.products)
    return Table(caption="What customers pull", columns=("",), rows=(*rows[:products], total, *rows[products:]))


def station_table(opened: Opened) -> Table:
    """How full each station is."""
    survey = opened.survey
    looks = _looks(survey, "station")
    rows = tuple(
        Row(
            words=one.name,
            question=", ".join(at.step.name for at in one.steps),
            figures=_cells(opened, one.load, one.content, one.time, one.cv2, one.up),
            look=looks.get(one.name, ""),
        )
        for one in survey.flow.stations
    )
    columns = ("load", "bar against takt", "effective process time", "cv² of that", "up when it should run")
    return Table(caption="Stations at the rate that customers pull", columns=columns, rows=rows)


def bar_table(opened: Opened) -> Table:
    """What the bar of each station is made of."""
    stations = opened.survey.flow.stations
    kinds = [kind.key for kind in KINDS if any(kind.key in one.segments for one in stations)]
    rows = tuple(
        Row(words=one.name, figures=_cells(opened, *(one.segments.get(kind) for kind in kinds))) for one in stations
    )
    columns = tuple(BY_KEY[kind].words for kind in kinds)
    return Table(caption="The bar of each station, by what the time is for", columns=columns, rows=rows)


def crew_table(opened: Opened) -> Table:
    """How full the people are."""
    survey = opened.survey
    looks = _looks(survey, "crew")
    rows = tuple(
        Row(
            words=crew.name,
            figures=_cells(opened, crew.load, crew.number, crew.work, crew.available),
            look=looks.get(crew.name, ""),
        )
        for crew in survey.flow.people.crews
    )
    columns = ("load", "people", "attended work a day", "working time a day")
    return Table(caption="People: needed only while they attend", columns=columns, rows=rows)


def waiting_table(opened: Opened) -> Table:
    """How long a piece waits before each step, as predicted."""
    flow = opened.survey.flow
    rows = tuple(
        Row(
            words=step.name,
            figures=_cells(opened, wait.queue, wait.lot, wait.total, wait.pieces, wait.arrival_cv2, wait.departure_cv2),
        )
        for step, wait in zip(opened.survey.line.steps, flow.waits, strict=True)
    )
    columns = ("in queue", "for its lot", "together", "pieces there", "cv² of arrivals", "cv² of departures")
    return Table(
        caption="Waiting predicted before each step, at the rate that customers pull", columns=columns, rows=rows
    )


def stock_table(opened: Opened) -> Table:
    """What lies where, against what the flow needs."""
    survey = opened.survey
    looks = _looks(survey, "stock")
    rows = tuple(
        Row(
            words=stock.words,
            question="counted" if stock.counted is not None else "predicted",
            figures=_cells(
                opened, stock.held, stock.needed, stock.beyond, stock.capacity, stock.lasts, stock.made_ahead
            ),
            look=looks.get(stock.words, ""),
        )
        for stock in survey.flow.stocks
    )
    columns = ("held", "needed", "beyond that", "room for", "lasts", "grows by")
    return Table(caption="Stock, place by place", columns=columns, rows=rows)


def ladder_tables(opened: Opened) -> tuple[Table, ...]:
    """Where a piece is, one stretch after another: the main flow, then the sub-flows."""
    survey = opened.survey
    tables = []
    for number, chain in enumerate(survey.flow.ladder.chains):
        rows = tuple(
            Row(words=rung.name, question=RUNGS[rung.kind], figures=_cells(opened, rung.time)) for rung in chain.rungs
        )
        sums = (
            Row(words="of it touch time", figures=_cells(opened, chain.touch)),
            Row(words="of it value-adding", figures=_cells(opened, chain.value)),
        )
        name = (
            "The main flow"
            if number == 0
            else f"The sub-flow that ends with {survey.line.steps[chain.chain.steps[-1]].name}"
        )
        total = Row(words="lead time", figures=_cells(opened, chain.lead))
        tables.append(Table(caption=name, columns=("working time",), rows=(*rows, *sums), total=total))
    return tuple(tables)


def indicator_tables(opened: Opened) -> tuple[Table, ...]:
    """The indicators of ISO 22400-2, station by station."""
    words = [text.partition(":")[0] for _, text in INDICATORS]
    rows = [(each.station, each.all()) for each in opened.survey.flow.indicators]
    tables = []
    for part in (slice(None, FIRST_INDICATORS), slice(FIRST_INDICATORS, None)):
        made = tuple(Row(words=name, figures=_cells(opened, *figures[part])) for name, figures in rows)
        tables.append(Table(caption="ISO 22400-2, station by station", columns=tuple(words[part]), rows=made))
    return tuple(tables)


def line_table(opened: Opened) -> Table:
    """Yields and indicators of the whole line."""
    flow = opened.survey.flow
    whole, ladder = flow.line_indicators, flow.ladder
    rows = (
        ("rolled throughput yield", "Good the first time through every step.", flow.rolled_throughput_yield),
        ("process cycle efficiency", "Value-adding time of the lead time.", ladder.efficiency),
        ("worker efficiency", "ISO 22400-2: attended of the paid time.", whole.worker_efficiency),
        ("production process ratio", "ISO 22400-2: touch time of the lead time.", whole.process_ratio),
        ("throughput", "ISO 22400-2: pieces in an hour of working time.", whole.throughput),
        ("lead time", "In working days.", ladder.lead_days),
        ("longest way through", "Sub-flows counted.", ladder.longest),
    )
    made = tuple(
        Row(words=words, question=question, figures=_cells(opened, figure)) for words, question, figure in rows
    )
    return Table(caption="The line as a whole", columns=("",), rows=made)


def case_tables(opened: Opened) -> tuple[Table, ...]:
    """What a line of these times makes of the stock that it holds."""
    cases = opened.survey.flow.cases
    words = (
        ("best case", "No variation at all.", cases.best),
        ("practical worst case", "As random as can be, and evenly loaded.", cases.practical_worst),
        ("worst case", "Everything moves as one lot.", cases.worst),
    )
    rows = tuple(
        Row(words=name, question=question, figures=_cells(opened, case.throughput, case.cycle))
        for name, question, case in words
    )
    held = next(figure for figure in cases.best.throughput.inputs if figure.unit == "pieces")
    stock = (
        Row(words="work in process held", figures=_cells(opened, held)),
        Row(
            words="critical work in process",
            question="Just full, if nothing varied.",
            figures=_cells(opened, cases.critical_wip),
        ),
    )
    return (
        Table(caption="Stock between the steps of the main flow", columns=("",), rows=stock),
        Table(caption="What a line of these times could make of it", columns=("throughput", "lead time"), rows=rows),
    )


TABLES: tuple[tuple[str, str, str, Callable[[Opened], Table | tuple[Table, ...]]], ...] = (
    ("demand", "Demand and takt", "", demand_table),
    ("stations", "Stations", "Load is work in a day against what the machines have; above 100 % the line cannot keep up.", station_table),
    ("bars", "What the bars are made of", "Per shipped piece, shared by the machines of the station.", bar_table),
    ("people", "People", "Spread over the crews as evenly as their skills allow.", crew_table),
    ("ladder", "Ladder", "Every stretch of the lead time, in working time.", ladder_tables),
    ("waiting", "Waiting", "From utilisation and variability (VUT equation); what was counted stands under stock.", waiting_table),
    ("stock", "Stock", "What was counted, else what is predicted.", stock_table),
    ("whole", "Yields and the line as a whole", "", line_table),
    ("indicators", "Indicators", "With the definitions of ISO 22400-2; each opens its formula.", indicator_tables),
    ("cases", "Best, practical worst, worst", "Three yardsticks for the same stock.", case_tables),
)  # fmt: skip
"""The parts of the page in the order in which they are read: its id, its title, what stands in the margin, its tables."""

"""From a line to what the kernels run: every field that bears on what happens, in arrays; what is not run yet, by name."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.flow import Flow
from pullwright.flow.givens import Givens
from pullwright.forecast.laying.alive import check_alive
from pullwright.forecast.laying.benches import benches
from pullwright.forecast.laying.caps import caps
from pullwright.forecast.laying.demand import demand
from pullwright.forecast.laying.elements import elements
from pullwright.forecast.laying.left_out import left_out
from pullwright.forecast.laying.machines import machines
from pullwright.forecast.laying.own import apart, full_at
from pullwright.forecast.laying.parts import parts
from pullwright.forecast.laying.pressure import pressure
from pullwright.forecast.laying.route import alike, jobs, taken_by
from pullwright.forecast.laying.shifts import shifts
from pullwright.forecast.laying.source import Source
from pullwright.forecast.laying.starts import starts
from pullwright.forecast.laying.steps import steps
from pullwright.forecast.laying.streams import streams
from pullwright.forecast.laying.ways import ways
from pullwright.forecast.plant import Plant
from pullwright.line import Line


@dataclass(frozen=True)
class Layout:
    """A plant with the names behind its indices, and what of the line it leaves out.

    `steps`, `stations`, `products`, `crews`: names by index; steps stand as in the file. `day`: working seconds of an average day.
    `left_out`: one sentence for each thing in the file that the run does not follow.
    """

    plant: Plant
    steps: tuple[str, ...]
    stations: tuple[str, ...]
    products: tuple[str, ...]
    crews: tuple[str, ...]
    day: float
    left_out: tuple[str, ...]


def layout_of(line: Line, *, givens: Givens | None = None, flow: Flow | None = None, draw: int | None = None) -> Layout:
    """What does the event kernel run for this line?

    Parameters: `givens`, the line's numbers as figures, and the `flow` of them, where they were made already; `draw`, which of their equally likely
    draws is taken for true (None: the values themselves).
    Errors: CannotRun, naming the field, where something cannot be run as it stands.
    """
    of = Source(line, givens or Givens(line), draw, flow)
    through = taken_by(of)
    first, in_place = jobs(of, through)
    alone, columns = apart(of, through), steps(of)
    joins = through.joins | alone["step_apart"]
    plant = Plant(
        **benches(of, through.place, joins, through.input_count, alone["step_lots"]),
        **columns,
        **alone,
        step_full_at=full_at(through, columns["step_capacity"], columns["step_transfer"]),
        **elements(of),
        **caps(of),
        **machines(of),
        **parts(of),
        **shifts(of),
        **pressure(of),
        **ways(of, through.next_step, through.next_input),
        **starts(of, through, first, columns["step_transfer"]),
        step_place=through.place,
        step_joins=joins,
        step_inputs=through.input_count,
        input_alike=alike(of, through),
        need=through.need,
        giver=through.giver,
        next_step=through.next_step,
        next_input=through.next_input,
        first=first,
        in_place=in_place,
        **demand(of),
        **streams(of),
    )
    check_alive(of, through, plant.step_transfer, plant.step_capacity)
    return Layout(
        plant, tuple(of.step_index), tuple(of.station_index), of.product_names,
        tuple(crew.name for crew in line.people), of.taken(of.givens.day_seconds()), tuple(left_out(of)),
    )  # fmt: skip

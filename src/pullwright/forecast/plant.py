"""A line in numbers, names left behind: what the rows of the event kernel are made from."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Keys = NDArray[np.uint64]

NEVER = -1
"""In place of an index: there is none."""


class Plant(NamedTuple):
    """The arrays of one line. S streams, I steps, K inputs of a step at most, P products, B benches, M machines, N stations, C crews, H hops.

    A bench is a step at one of its stations. Benches stand downstream first: that is the order in which they get what is short.
    Times are seconds of the line's working time; pieces are whole. A step that takes from no other has one input, of jobs.
    """

    stream_kind: Ints  # (S,) kind of shape
    stream_numbers: Floats  # (S, 4) mean, a, b, c of the shape
    stream_readings: Ints  # (S, 2) first and number of its readings
    readings: Floats
    stream_key: Keys  # (S,) what each stream is for

    bench_step: Ints  # (B,)
    bench_station: Ints  # (B,)
    bench_factor: Floats  # (B,) how many times as long the work takes there
    bench_share: Floats  # (B,) of the pieces of the step that are done at this or an earlier bench of it
    bench_queue: Ints  # (B,) its first queue: one, or one for each input and product where it puts pieces together

    step_bench: Ints  # (I, 2) first bench, and the one after the last
    step_place: Ints  # (I,) place in the route, from the first step to the last
    step_inputs: Ints  # (I,) K
    step_joins: Ints  # (I,) 1 where it puts several pieces together, or products lie apart
    step_apart: Ints  # (I,) 1 where products have cards or lots of their own
    step_own_cards: Ints  # (I,) 1 where products have cards of their own
    step_spreads: Ints  # (I,) 1 where cards are for all products, which go to several steps
    step_lots: Ints  # (I,) 1 where products have lots of their own
    step_any: Ints  # (I,) 1 where what lies on a card may be of any product, because nothing has told them apart
    step_full_at: Ints  # (I,) pieces of an input with which its place is too full for what is handed on to it at a time; PLENTY where nothing limits them
    step_capacity: Ints  # (I,) pieces of one input that fit before it
    step_transfer: Ints  # (I,) pieces handed on together
    step_lot: Ints  # (I,) pieces between two set-ups, 0: no set-up
    step_people: Ints  # (I,)
    step_set_up: Ints  # (I,) stream
    step_set_up_people: Ints  # (I,)
    step_scrap: Floats  # (I,) share
    step_again: Floats  # (I,) share done again
    step_again_to: Ints  # (I,) step that they go back to, NEVER: done again on the spot
    step_again_time: Ints  # (I,) stream, NEVER: as long as the first time
    step_again_people: Ints  # (I,)
    step_luck: Ints  # (I,) stream that decides what becomes of a piece
    step_where: Ints  # (I,) stream that decides at which bench
    step_release: Ints  # (I,)
    step_per_card: Ints  # (I,)
    step_permits: Ints  # (I,) pieces that may begin at the start; PLENTY where nothing limits them
    step_jobs: Ints  # (I,) jobs that lie there at the start: of free cards
    step_taken: Ints  # (I, P) pieces that were taken of a card that the others still lie on
    step_debt: (
        Ints  # (I,) cards too many that lie behind the step at the start: as many that come back let nothing begin
    )
    own_permits: Ints  # (P, I) pieces of the product that may begin at the start by its own cards; PLENTY where it has none of its own
    own_jobs: Ints  # (P, I) jobs that lie there at the start: of free cards of its own
    own_gathered: (
        Ints  # (P, I) cards of its signal that are back at the start; below 0: too many cards lie behind the step
    )
    own_on_card: Ints  # (P, I) pieces on a card
    own_cards: Ints  # (P, I) cards, of the product or for all
    own_signal: Ints  # (P, I) cards that are gathered before they let pieces begin
    own_lot: Ints  # (P, I) pieces between two set-ups, 0: no set-up
    own_enough: Ints  # (P, I) pieces with which a lot of its own is begun
    own_leave: Ints  # (P, I) with leave for so many
    step_tick: Floats  # (I,) seconds between two pieces of its schedule, 0: none
    crew_can: Ints  # (I, C) 1 where a crew can do the step
    input_alike: Ints  # (I, K) 1 where any piece fits, whatever product it was made for
    need: Ints  # (P, I, K) pieces of each input for one of the step's own
    first: (
        Ints  # (P, I) jobs at a first step for one unit of the product; below 0: as many pieces as that of a later step
    )
    in_place: Ints  # (P, I, I) the same in place of one piece that is scrapped at a step; the last axis says where
    next_step: Ints  # (P, I) step that takes from it, NEVER: it is finished then
    next_input: Ints  # (P, I)
    feeders: Ints  # (I + 1, 2) first place in `feeder_of`, and the one after the last; row I: of the finished store
    feeder_of: Ints  # steps that give to a step
    giver: Ints  # (P, I, K) step that an input comes from
    hop: Ints  # (P, I) way that its pieces are carried, NEVER: none
    hop_time: Floats  # (H,) seconds
    hop_end: Ints  # (H,) step that it leads to, NEVER: the finished store
    hop_input: Ints  # (H,) as which input
    pairs: Ints  # (n, 4) step, product before, product after, stream: set-ups that take another time
    element: Ints  # (P, I, 2) first element of the work, and the one after the last
    element_stream: Ints
    element_attended: Floats  # share of the element's time in which people attend
    cap: Ints  # (n, 2) steps that begin and end a cap
    cap_covers: Ints  # (n, I) 1 where a step lies within it

    machine_station: Ints  # (M,)
    machine_between: Ints  # (M,) stream, NEVER: it does not break down
    machine_repair: Ints  # (M,) stream
    machine_counted: Ints  # (M,) BY_RUNNING or BY_CLOCK, 0: neither
    station_machine: Ints  # (N, 2) first machine, and the one after the last
    station_bench: Ints  # (N, 2) first place in `bench_at`, and the one after the last
    bench_at: Ints

    crew_number: Ints  # (C,) people there at the start
    station_closed: Ints  # (N,) shifts that have to begin before it works, at the start
    change: Ints  # (n, 3) at the end or begin of a shift: 0 for a station, 1 for a crew; its index; how many shifts or people more or fewer
    change_at: Floats  # (n,) s since the begin of the day, above 0, in their order

    part_lot: Floats  # (Q,) units that come at a time; 0: as many as are needed, at once
    part_order_at: Floats  # (Q,) units in stock and under way at which the next are ordered
    part_lead: Ints  # (Q,) stream of the time from the order to the delivery, NEVER: they come at once
    part_stock: Floats  # (Q,) units there at the start
    use: Ints  # (n, 3) product, step, part: what goes into a piece that is begun there for the first time
    use_quantity: Floats  # (n,) units

    step_hurry_at: Ints  # (I,) pieces before the step from which on people hurry, PLENTY: they never do
    hurry: Floats  # (2,) share of the time by which they are faster; how many times as many defects there are
    element_by_hand: Ints  # (e,) 1 where people can hurry: work by hand and walking
    order_stream: Ints  # (P,) time between two orders, NEVER: nobody orders
    mix: Floats  # (P,) shares of the products in what customers pull
    finished_capacity: Ints  # (1,)
    stock_before: Ints  # (I, K, P) pieces that lie before each step at the start
    stock_finished: Ints  # (P,)

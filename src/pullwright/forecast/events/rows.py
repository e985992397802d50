"""A line while it runs is one stretch of memory: a row of words for each thing in it, and a thing is known by where its row begins.

A word is a whole number or a float; the kernels hold the same memory as `w` (whole numbers) and as `f` (floats), so `w[m + DOING]` is what
machine `m` is at and `f[m + SINCE]` since when. Two arrays are handed down instead of a hundred, and a row names another by its
place, so that nothing has to be looked up. Row 0 is the line itself; so 0 also says "none".
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Words = NDArray[np.int64]
Floats = NDArray[np.float64]
Days = NDArray[np.float64]

NONE = 0
PLENTY = 1 << 40
"""In place of a number: no limit."""
BLOCK = 64
"""Draws that a stream makes ahead in one go."""
GROUP = 8
"""Moments of which the earliest is kept."""

FREE, PUSHED, CARDED, CAPPED, ORDERED = range(5)
"""What lets a step begin a piece: nothing but work and room; a schedule; cards; a cap on work in process; orders."""
BY_RUNNING, BY_CLOCK = 1, 2
"""What the time between two breakdowns of a machine is counted by."""
IDLE, SETTING, ATTENDED, ALONE, AGAIN, WAITS_AGAIN, BLOCKED, DOWN = range(8)
"""What a machine does. WAITS_AGAIN: a piece to be put right lies on it, and nobody is there for that."""
WORKING, SET_UP_TIME, REPAIRED, HELD, OFF, NOBODY, SHORT, NOT_ASKED, STARVED = range(9)
"""Where a machine's time goes. HELD: its piece has no room further on; OFF: out of its shifts; SHORT: a bought part is missing;
NOT_ASKED: no card, schedule, cap or order lets it begin. Those from OFF on stand in the order in which they are asked about, the last one first."""
KINDS_OF_TIME = 9
JOB, NOWHERE = -2, -1
"""In place of the furthest place in the route that a piece has reached: it is but the leave to begin one; it has ended no step yet."""

# The line itself. Rows of a kind lie one after another; ..._END is where the row after the last one would begin.
(
    FRONT, BENCHES, BENCHES_END, MACHINES, MACHINES_END, PRODUCTS, PRODUCTS_END, STEPS, STEPS_END, HOPS, HOPS_END, STREAMS, STREAMS_END,
    STORE, MOMENTS, SLOTS, SPARE, PIECES, FREE_PIECE, IN_USE, TURN, LEADS, RESPONSES, EVENTS, FILL, ADDRESS, SIZE,
    DAYS, DAY_WIDE, SAMPLES, STOPPED, LEAST, TICKS, TICKS_END, LOOKS, ROUTE, PARTS, PARTS_END, CHANGES, CHANGES_END, CHANGE, CHANGE_SLOT, TODAY, TRACE, TRACE_ROOM, TRACED, NOW, WARM, UNTIL, DAY, CHECK, FASTER, MORE_DEFECTS,
    WHOLE,
) = range(1, 55)  # fmt: skip
LINE_WIDE = WHOLE + 3
"""STORE: the finished store, a row like a step's; MOMENTS: what ends when, SLOTS of them; SPARE: scratch of 2 BLOCK words;
FILL: address of the kernel that draws ahead;
ADDRESS and SIZE of this memory; DAYS that are written down, DAY_WIDE numbers each, of which TODAY is under way; SAMPLES of each kind that there is
room for; STOPPED: somebody outside wants no more; LEAST: the earliest of each GROUP of MOMENTS; TICKS: the steps that have
a schedule; LOOKS: benches that are worth a look; ROUTE: the steps by their place in the route; CHANGE: the next of the CHANGES of shift; WHOLE: a place, the line as a whole; NOW, WARM, UNTIL,
DAY are floats (s), and CHECK, when there is something to write down next; FASTER, MORE_DEFECTS: what hurry does; TRACE: address of
where it is written down what happens to each piece, with room for TRACE_ROOM rows, of which TRACED are full."""

BEGUN_UNIT, COMES, TAKEN_UP, LET_GO, HANDED_ON, THROWN_AWAY, FINISHED_UNIT = range(7)
"""What happens to a piece. BEGUN_UNIT: it did not lie there at the start; LET_GO: its work is ended; HANDED_ON: it leaves the machine, for its transfer lot, its way or the next step."""
TRACE_WIDE = 4
"""A row of what happened: when (a float), what, to which piece, at which step (rows)."""

# A place where pieces lie: how many, piece-seconds, the most. The first words of a step, of the finished store, and of WHOLE.
LYING, AREA, PEAK, PLACE_WIDE = range(4)

# A queue: first piece, last piece, how many.
HEAD, TAIL, LONG, QUEUE_WIDE = range(4)

(
    STEP_BENCHES, STEP_BENCHES_END, PLACE, INPUTS, JOINS, CAPACITY, TRANSFER, LOT, PEOPLE, SET_UP, SET_UP_PEOPLE, SCRAP, AGAIN_SHARE, AGAIN_TO,
    AGAIN_TIME, AGAIN_PEOPLE, LUCK, WHERE, RELEASE, PER_CARD, PERMITS, JOBS, TICK, TAKEN, CREWS, CREWS_END, LEGS, INPUT_ROWS,
    FEEDERS, FEEDERS_END, PAIRS, PAIRS_END, CAPS_ENDED, CAPS_ENDED_END, CAPS_OVER, CAPS_OVER_END, MADE, CREDITS, STEP_INDEX, REFUSED,
    HURRY_AT, DEBT, FIRST_STEP, APART, LOTS, OWN_CARDS, SPREADS, FULL_AT, ANY, TAKEN_OF_ANY, STEP_WIDE,
) = range(PLACE_WIDE, PLACE_WIDE + 51)  # fmt: skip
"""PLACE in the route; TICK, SCRAP, AGAIN_SHARE are floats; SET_UP, AGAIN_TIME, LUCK, WHERE name streams; CREWS, FEEDERS, CAPS_ENDED (steps
that may begin one more when a piece ends here) and CAPS_OVER (when one is scrapped here; with the place in the
route of the step where the cap ends) are lists of rows; TAKEN: a row of numbers, one a product; PAIRS of (product before,
product after, stream); LEGS a row a product; INPUT_ROWS a row an input; CREDITS a float a product: what is owed to the mix;
REFUSED: a piece found no room before the step; DEBT: cards that come back and let nothing begin; FIRST_STEP: it takes from no other; APART: products have cards or lots of their own, and JOINS is said too;
OWN_CARDS: they have cards of their own; SPREADS: its cards are for all products, which go to several steps; LOTS: they have lots of their own, and pieces that come back have a queue a product behind the others; FULL_AT: so
many pieces of an input that no more is handed on; ANY: what lies on a card may be of any product, of which TAKEN_OF_ANY pieces are gone."""

INPUT_ALIKE, HERE, COMING, INPUT_WIDE = range(4)
"""INPUT_ALIKE: any piece fits, whatever product it was made for; HERE: pieces before the step or on their way there; COMING: of the lot about to come."""

NEXT_STEP, NEXT_INPUT, LEG_HOP, ELEMENTS, ELEMENTS_END, FIRST, NEEDS, INSTEAD, INSTEAD_END, USES, USES_END, ATTENDED_WORK, OWN_PERMITS, OWN_JOBS, GATHERED, ON_CARD, CARDS, SIGNAL, OWN_LOT, ENOUGH, LEAVE, LEG_WIDE = range(22)  # fmt: skip
"""The way of one product through one step. NEXT_STEP: NONE where it does not go through; FIRST: jobs for one unit, where it begins there;
NEEDS: of each input how many, and from which step; FIRST, and the second of INSTEAD, below 0: as many
permits at a later step that works to order; INSTEAD: (step, jobs) in place of a scrapped piece; ATTENDED_WORK: people are needed; USES: (part, units, a float).
OWN_PERMITS, OWN_JOBS: of cards of its own, pieces that may begin, and jobs at the start; GATHERED cards of the SIGNAL that let pieces begin together, ON_CARD on each (below 0: cards too many), CARDS in all;
OWN_LOT: pieces between two set-ups; ENOUGH: pieces with which a lot of its own is begun, LEAVE: with leave for so many."""

ELEMENT_STREAM, ELEMENT_ATTENDED, BY_HAND, ELEMENT_WIDE = range(4)
BENCH_STEP, BENCH_STATION, FACTOR, SHARE, QUEUES, DUE, WANTS, REASON, OUT, OUT_TAIL, OUT_LONG, BACK, BACK_TAIL, BACK_LONG, ENDED, BENCH_WIDE = range(16)  # fmt: skip
"""A step at one of its stations. SHARE: of the step's pieces, at this or an earlier bench of it; BACK: a queue of pieces that have been further already; OUT: a queue of ended pieces that wait for the rest
of their transfer lot; ENDED: machines on which an ended piece lies; WANTS: would begin if people were there."""
STATION_MACHINES, STATION_MACHINES_END, STATION_BENCHES, STATION_BENCHES_END, IDLE_MACHINES, CLOSED, TIMES = range(7)
STATION_WIDE = TIMES + KINDS_OF_TIME
(
    MACHINE_STATION, BETWEEN, REPAIR, COUNTED, SLOT, DOING, PIECE, BENCH, SINCE, WHY, ALONE_LEFT, WHOLE_TIME, LOT_LEFT, SET_FOR, MADE_LAST, CREW,
    CREW_PEOPLE, UP_LEFT, FAILS, UP, HURRIED, LOT_OF, MACHINE_WIDE,
) = range(23)  # fmt: skip
PRODUCT_ORDERS, MIX, WAITING, WAITING_TAIL, WAITING_LONG, FINISHED, PRODUCT_INDEX, PRODUCT_WIDE = range(8)
HOP_TIME, HOP_END, HOP_INPUT, HOP_SLOT, CARRIED, CARRIED_TAIL, CARRIED_LONG, HOP_WIDE = range(8)
CREW_FREE, CREW_WIDE = range(2)
(
    PART_STOCK,
    POSITION,
    PART_LOT,
    ORDER_AT,
    PART_LEAD,
    UNDER_WAY,
    UNDER_WAY_TAIL,
    UNDER_WAY_LONG,
    PART_BENCHES,
    PART_BENCHES_END,
    PART_INDEX,
    PART_SLOT,
    PART_WIDE,
) = range(13)
"""A bought part. PART_STOCK, POSITION (with what is under way), PART_LOT, ORDER_AT are floats (units); UNDER_WAY: a queue of deliveries."""
CHANGE_AT, CHANGE_KIND, CHANGE_ROW, CHANGE_BY, CHANGE_WIDE = range(5)
"""The end or begin of a shift: when (a float, s since the begin of the day), of a station (0) or a crew (1), and how many shifts or people more."""
KIND, MEAN, A, B, C, READINGS, READINGS_END, KEY, OWN, USED, ASKED, AHEAD = range(12)
STREAM_WIDE = AHEAD + BLOCK
"""A stream of draws; AHEAD: those made ahead, of which USED are gone; ASKED: made so far; OWN: its key in this run."""
NEXT, PRODUCT, BORN, CAME, REACHED, READY, VIA, PIECE_WIDE = range(8)
"""A piece, a job or a waiting order. NEXT: the one behind it in its queue; CAME: in which turn it came there; READY: when it is carried over, or delivered; of a delivery, PRODUCT says how many lots it is;
VIA: as which input it lies where it is."""

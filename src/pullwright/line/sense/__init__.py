"""Does a line file that can be read make sense as a whole? Contradictions are faults; a line that cannot keep up is none (see the flow room)."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from pullwright.line.faults import Fault
from pullwright.line.marks import Tree
from pullwright.line.model import LineModel
from pullwright.line.sense.doubles import doubles
from pullwright.line.sense.losses import losses
from pullwright.line.sense.means import pressure, samples, skills, zeros
from pullwright.line.sense.release import release
from pullwright.line.sense.slip import Check
from pullwright.line.sense.stock import stores
from pullwright.line.sense.time import calendar
from pullwright.line.sense.way import demand, uses, way
from pullwright.line.sense.work import lots, work

__all__ = ["CHECKS", "check_sense"]

CHECKS: tuple[Check, ...] = (
    Check(calendar, ("calendar",)),
    Check(demand, ("products",)),
    Check(way, ("products", "steps"), names=True),
    Check(uses, ("products", "steps"), names=True),
    Check(work, ("products", "steps", "studies"), names=True),
    Check(lots, ("products", "steps"), names=True),
    Check(losses, ("steps",)),
    Check(release, ("products", "steps"), names=True),
    Check(stores, ("products", "steps", "stores"), names=True),
    Check(skills, ("people", "steps"), names=True),
    Check(samples, ("samples",)),
    Check(pressure, ("pressure",)),
    Check(zeros, ("products", "parts", "stations", "steps", "moves", "floor")),
    Check(doubles, ("calendar", "products", "stations", "steps", "moves", "people", "floor")),
)


def check_sense(
    line: LineModel, tree: Tree, *, broken: Collection[str] = (), names_hold: bool = True
) -> Iterator[Fault]:
    """Give a fault for every contradiction.

    `broken` are the parts of the file that could not be read; what rests on them is not checked. `names_hold`: every name refers to
    something; where one does not, what follows names is not checked.
    """
    for check in CHECKS:
        if (names_hold or not check.names) and not set(broken) & set(check.reads):
            for slip in check.find(line):
                yield tree.fault(slip.path, slip.read, slip.allowed, slip.hint, slip.message)

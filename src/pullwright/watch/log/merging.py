"""Which names of a log are taken for which: spellings of one name, and one step that is written with each of its machines."""

from __future__ import annotations

from collections.abc import Mapping

from pullwright.watch.log.draft_names import steps_without_machines
from pullwright.watch.log.events import Events
from pullwright.watch.log.laid import Laid
from pullwright.watch.log.looked import Looked
from pullwright.watch.log.odd_together import spelt
from pullwright.watch.log.oddities import BY_KEY, ONE
from pullwright.watch.log.spellings import merges_of

Merges = dict[str, dict[str, str]]
"""Role to name as written to the name that it is taken for, as `decide` takes it."""


def machine_steps(events: Events) -> dict[str, str]:
    """Steps that differ only by the machine in their name, with what they are called together."""
    import polars as pl

    pairs = events.table.select(pl.col("activity", "station")).drop_nulls().unique(maintain_order=True)
    return steps_without_machines(pairs.select(pl.all().cast(pl.String)).iter_rows())


def merges_for(
    events: Events, decisions: Mapping[str, str] | None = None, *, together: bool = True, log: Looked | None = None
) -> Merges:
    """Which names are taken for which?

    Parameters: `decisions` about oddities, of which that about spellings counts; `together`: are steps that differ only by
    the machine in their name one step at several machines? `log`: the events laid out where that was done already.
    """
    choice = (decisions or {}).get("spellings", BY_KEY["spellings"].choices[0])
    merges = merges_of(spelt(log or Looked(Laid(events)))) if choice == ONE else {}
    if together and (machines := machine_steps(events)):
        spellings = {spelling: machines.get(name, name) for spelling, name in merges.get("activity", {}).items()}
        merges["activity"] = {**machines, **spellings}
    return merges

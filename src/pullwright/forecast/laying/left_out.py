"""What of a line file a run does not follow: one sentence each."""

from __future__ import annotations

from pullwright.forecast.laying.source import Source


def left_out(of: Source) -> list[str]:
    """What this line has that a run does not follow."""
    line = of.line
    said = []
    if any(store.overflow is not None for store in line.stores):
        said.append("Carrying to and from an overflow place takes no time.")
    if line.moves:
        said.append("Carrying takes time but keeps nobody of a crew from other work.")
    if any(
        store.part is None and store.capacity is not None and of.counted(s) > store.capacity.value
        for s, store in enumerate(line.stores)
    ):
        said.append("Where more was counted than fits, a full place stops nobody: it did not when it was counted.")
    return said

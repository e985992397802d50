"""Closed accounts as bars: one horizontal stacked bar per account, its rows hatched by kind."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.draw.scene import FigureLike, Remark, SceneError
from pullwright.line.kinds import BY_KEY, KindKey


@dataclass(frozen=True, slots=True)
class AccountRow:
    """One row of a closed account: its words, its amount (may be below 0) and the kind whose hatch it is drawn with."""

    words: str
    amount: FigureLike
    kind: KindKey
    share: FigureLike | None = None
    remark: Remark | None = None

    def __post_init__(self) -> None:
        if self.kind not in BY_KEY:
            raise SceneError(f"kind {self.kind!r} is not known; allowed are {', '.join(BY_KEY)}")
        if not math.isfinite(self.amount.value):
            raise SceneError(f"{self.words!r} is {self.amount.value}: an account holds only finite amounts")


@dataclass(frozen=True, slots=True)
class AccountBar:
    """One closed account as one bar: its rows add up to the whole."""

    title: str
    whole: FigureLike
    rows: tuple[AccountRow, ...]
    sentence: str = ""

    def __post_init__(self) -> None:
        total = math.fsum(row.amount.value for row in self.rows)
        size = math.fsum(abs(row.amount.value) for row in self.rows)
        if not math.isclose(total, self.whole.value, rel_tol=1e-6, abs_tol=1e-6 * size + 1e-12):
            raise SceneError(
                f"the rows of {self.title!r} add up to {total:g}, the whole says {self.whole.value:g}: "
                "put the difference into the row 'not explained'"
            )

"""Pictures: pure functions from plain values to SVG text."""

from __future__ import annotations

from pullwright.draw.account_bars import AccountBar, AccountRow, account_bars, lettered
from pullwright.draw.drawing import compare_drawings, line_drawing, reading_help_drawing
from pullwright.draw.scene import (
    Branch,
    Difference,
    FigureLike,
    LinePicture,
    Loop,
    LoopKind,
    Pile,
    Remark,
    RibbonPiece,
    SceneError,
    Segment,
    StationColumn,
    WhyLink,
)

__all__ = [
    "AccountBar",
    "AccountRow",
    "Branch",
    "Difference",
    "FigureLike",
    "LinePicture",
    "Loop",
    "LoopKind",
    "Pile",
    "Remark",
    "RibbonPiece",
    "SceneError",
    "Segment",
    "StationColumn",
    "WhyLink",
    "account_bars",
    "compare_drawings",
    "lettered",
    "line_drawing",
    "reading_help_drawing",
]

"""Pullwright: the workbench for the person who runs and improves production in a small factory.

From a notebook: `from pullwright import Line`, then `Line.read("line.yaml")`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pullwright.version import __version__

__all__ = ["Line", "__version__"]

if TYPE_CHECKING:
    from pullwright.notebook import Line


def __getattr__(name: str) -> Any:
    """Import `Line` only when it is asked for, so that the command answers at once."""
    if name == "Line":
        from pullwright.notebook import Line

        return Line
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

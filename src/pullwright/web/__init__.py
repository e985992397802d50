"""The workbench in the browser: pages, forms and their guards. It holds no arithmetic.

`create_app` is imported when it is first asked for, so that naming this room costs nothing; `serve` is in
`pullwright.web.serve`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pullwright.web.app import create_app

__all__ = ["create_app"]


def __getattr__(name: str) -> Any:
    """Import what is asked for only now; the web framework is heavy."""
    if name == "create_app":
        from pullwright.web.app import create_app

        return create_app
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

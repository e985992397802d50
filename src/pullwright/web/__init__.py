"""The workbench in the browser: pages, forms and their guards. It holds no arithmetic.

`create_app` and `serve` are imported when they are first asked for, so that naming this room costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pullwright.web.app import create_app
    from pullwright.web.serve import serve

__all__ = ["create_app", "serve"]


def __getattr__(name: str) -> Any:
    """Import what is asked for only now; the web framework is heavy."""
    if name == "create_app":
        from pullwright.web.app import create_app

        return create_app
    if name == "serve":
        from pullwright.web.serve import serve

        return serve
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

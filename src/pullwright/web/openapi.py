"""The description of all addresses for programs, with the problems that each may answer."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

import pullwright
from pullwright.web.problems import PROBLEM_JSON, PROBLEMS

PROBLEM_SCHEMA: dict[str, Any] = {
    "type": "object",
    "description": "What could not be done (RFC 9457): what was read, what is allowed, what to do next.",
    "required": ["type", "title", "status", "detail", "instance", "read", "allowed", "todo", "errors"],
    "properties": {
        "type": {"type": "string", "enum": [f"urn:pullwright:problem:{kind.slug}" for kind in PROBLEMS.values()]},
        "title": {"type": "string"},
        "status": {"type": "integer", "minimum": 400, "maximum": 599},
        "detail": {"type": "string"},
        "instance": {"type": "string"},
        "read": {"type": "string"},
        "allowed": {"type": "string"},
        "todo": {"type": "string"},
        "reference": {"type": "string", "description": "Names the failure in the log of the workbench."},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["field", "message"],
                "properties": {"field": {"type": "string"}, "message": {"type": "string"}},
            },
        },
    },
}


def describe(app: FastAPI) -> dict[str, Any]:
    """Return the OpenAPI description of an application, made once and then kept."""
    if app.openapi_schema is None:
        document = get_openapi(
            title="Pullwright",
            version=pullwright.__version__,
            description="Every page is at its own address; its figures are at the same address with .json.",
            routes=app.routes,
        )
        schemas = document.setdefault("components", {}).setdefault("schemas", {})
        schemas["Problem"] = PROBLEM_SCHEMA
        answer = {
            "description": "A problem: what was read, what is allowed, what to do next",
            "content": {
                PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}},
                "text/html": {"schema": {"type": "string"}},
            },
        }
        for operations in document.get("paths", {}).values():
            for operation in operations.values():
                responses = operation["responses"]
                responses.pop("422", None)
                responses["4XX"] = responses["5XX"] = answer
        for unused in ("HTTPValidationError", "ValidationError"):
            schemas.pop(unused, None)
        app.openapi_schema = document
    return app.openapi_schema

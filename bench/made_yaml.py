"""Plain values as YAML in several styles: block and flow, quoted and not, with a comment here and there."""

from __future__ import annotations

import json
import re
from random import Random
from typing import Any

_PLAIN = re.compile(r"[A-Za-zÀ-ÿ][\w /%.²-]*|-?[0-9][\w /%.²-]*")


class Styles:
    """Writes values in styles that chance picks."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def text(self, data: dict[str, Any]) -> str:
        lines = ["# Made up by a program for trying things out."]
        for key, value in data.items():
            if self.chance(0.5):
                lines.append("")
            lines += self.field(key, value, "")
        return "\n".join(lines) + "\n"

    def field(self, key: str, value: Any, indent: str) -> list[str]:
        note = "   # as seen at the line" if self.chance(0.03) else ""
        if not isinstance(value, dict | list) or (indent and self.chance(0.6)) or not value:
            return [f"{indent}{key}: {self.flow(value)}{note}"]
        if isinstance(value, dict):
            return [
                f"{indent}{key}:{note}",
                *(line for inner, item in value.items() for line in self.field(inner, item, indent + "  ")),
            ]
        return [f"{indent}{key}:{note}", *(line for item in value for line in self.item(item, indent + "  "))]

    def item(self, value: Any, indent: str) -> list[str]:
        if not isinstance(value, dict) or self.chance(0.4):
            return [f"{indent}- {self.flow(value)}"]
        lines = [line for key, item in value.items() for line in self.field(key, item, indent + "  ")]
        return [f"{indent}- {lines[0].strip()}", *lines[1:]]

    def flow(self, value: Any) -> str:
        if isinstance(value, dict):
            return "{" + ", ".join(f"{key}: {self.flow(item)}" for key, item in value.items()) + "}"
        if isinstance(value, list):
            return "[" + ", ".join(self.flow(item) for item in value) + "]"
        if not isinstance(value, str):
            return str(value)
        if value in ("yes", "no") or (_PLAIN.fullmatch(value) and value != "null" and not self.chance(0.05)):
            return value
        return "'" + value.replace("'", "''") + "'" if self.chance(0.3) else json.dumps(value, ensure_ascii=False)

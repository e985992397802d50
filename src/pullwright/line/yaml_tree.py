"""From YAML text to plain values and the place of each of them; bounded, so that no file can exhaust the machine.

The events of the parser are read one by one with limits on size, depth, number of values and repetition, so that neither a deeply
nested file nor one that refers to itself again and again (a "YAML bomb") costs more than a message.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pullwright.line.faults import Fault, Path, path_words

MOST_BYTES = 1_000_000
MOST_DEPTH = 24
MOST_VALUES = 100_000
MOST_FAULTS = 200

_INTEGER = re.compile(r"[-+]?[0-9]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_WORDS: dict[str, object] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something stands: line and column from 1, and the span of characters from 0."""

    line: int
    column: int
    start: int
    end: int
    style: str = "plain"
    """ "plain", "quoted", "text" (a block of text), "flow" or "block"."""


@dataclass(slots=True)
class Tree:
    """The plain values of a file, and the marks of values and of keys by path."""

    data: Any = None
    marks: dict[Path, Mark] = field(default_factory=dict)
    key_marks: dict[Path, Mark] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def mark(self, path: Path) -> Mark:
        """Give the place of a path, or of the nearest thing around it that stands in the file."""
        for length in range(len(path), -1, -1):
            found = self.key_marks.get(path[:length]) or self.marks.get(path[:length])
            if found is not None:
                return found
        return Mark(1, 1, 0, 0)

    def fault(self, path: Path, read: str, allowed: str, hint: str = "", message: str = "") -> Fault:
        """Make a fault at the place of a path."""
        mark = self.mark(path)
        return Fault(mark.line, mark.column, path_words(path), read, allowed, hint, message)


class _TooMuchError(Exception):
    """A limit was passed; its message says which."""

    def __init__(self, line: int, message: str, allowed: str) -> None:
        super().__init__(message)
        self.line, self.allowed = line, allowed


@dataclass(slots=True)
class _Node:
    kind: str
    value: Any
    mark: Mark
    keys: list[tuple[str, Mark, _Node]] = field(default_factory=list)
    size: int = 1


def read_tree(text: str) -> Tree:
    """Read YAML text into plain values with their places.

    Syntax faults, duplicate keys and passed limits come back in `faults`; `data` is then what could still be read (or None).

    >>> tree = read_tree("steps:\\n  - name: hone\\n")
    >>> tree.data, tree.mark(("steps", 0, "name")).line
    ({'steps': [{'name': 'hone'}]}, 2)
    """
    tree = Tree()
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        tree.faults.append(
            _whole(
                f"{len(text):,} characters",
                f"at most {MOST_BYTES:,} bytes",
                "a line file is typed by a person; readings in bulk belong in a study file",
            )
        )
        return tree
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    try:
        node = _Builder(text, tree).document(iter(YAML(typ="safe", pure=False).parse(text)))
    except _TooMuchError as much:
        tree.faults.append(Fault(much.line, 1, "the file", "more than that", much.allowed, message=str(much)))
        return tree
    except MarkedYAMLError as error:
        tree.faults.append(_syntax(error, text))
        return tree
    except (YAMLError, UnicodeError, ValueError) as error:
        tree.faults.append(
            _whole("characters that YAML does not allow", "plain text in UTF-8", "is it a text file?", str(error))
        )
        return tree
    if node is not None:
        tree.data = _plain(node, (), tree)
    return tree


def _whole(read: str, allowed: str, hint: str, detail: str = "") -> Fault:
    message = f"read {read}; allowed: {allowed}"
    return Fault(0, 0, "the file", read, allowed, hint, message + (f" [{' '.join(detail.split())}]" if detail else ""))


def _syntax(error: Any, text: str) -> Fault:
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    lines = text.splitlines()
    read = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    hint = ""
    if "\t" in (lines[line - 1] if 0 < line <= len(lines) else ""):
        hint = "a tab stands in this line: indent with spaces"
    elif "mapping values" in str(error.problem):
        hint = "put quotes round a text that holds ': '"
    elif "expected" in str(error.problem):
        hint = "a bracket, brace or quote may be missing, or a line is not indented like its neighbours"
    said = " ".join(str(error.problem or error.context or "this cannot be read").split())
    return Fault(line, column, "the file", read[:60], "YAML", hint, f"this is not YAML: {said}; read {read[:60]!r}")


class _Builder:
    """Builds nodes out of parser events and keeps count of what they cost."""

    def __init__(self, text: str, tree: Tree) -> None:
        self.text, self.tree = text, tree
        self.anchors: dict[str, _Node] = {}
        self.values = 0

    def document(self, events: Iterator[Any]) -> _Node | None:
        root: _Node | None = None
        for event in events:
            name = type(event).__name__
            if name == "DocumentStartEvent":
                if root is not None:
                    raise _TooMuchError(
                        event.start_mark.line + 1, "a second document begins here ('---')", "one document a file"
                    )
            elif name in ("ScalarEvent", "MappingStartEvent", "SequenceStartEvent", "AliasEvent"):
                root = self.node(event, events, 0)
        return root

    def node(self, event: Any, events: Iterator[Any], depth: int) -> _Node:
        line = event.start_mark.line + 1
        if depth > MOST_DEPTH:
            raise _TooMuchError(
                line, f"values are nested more than {MOST_DEPTH} deep here", f"at most {MOST_DEPTH} levels"
            )
        name = type(event).__name__
        if name == "AliasEvent":
            known = self.anchors.get(event.anchor)
            if known is None:
                raise _TooMuchError(
                    line, f"*{event.anchor} refers to nothing above it", "a name that was given with & before"
                )
            self.count(known.size, line)
            return known
        self.count(1, line)
        if name == "ScalarEvent":
            style = "quoted" if event.style in ("'", '"') else "text" if event.style in ("|", ">") else "plain"
            built = _Node("scalar", event.value, self.mark(event, event, style))
        elif name == "SequenceStartEvent":
            built = _Node("list", [], self.mark(event, event, "flow" if event.flow_style else "block"))
            while type(inner := next(events)).__name__ != "SequenceEndEvent":
                child = self.node(inner, events, depth + 1)
                built.value.append(child)
                built.size += child.size
            built.mark = self.mark(event, inner, built.mark.style)
        else:
            built = _Node("map", None, self.mark(event, event, "flow" if event.flow_style else "block"))
            while type(inner := next(events)).__name__ != "MappingEndEvent":
                key = self.node(inner, events, depth + 1)
                if key.kind != "scalar":
                    raise _TooMuchError(key.mark.line, "a list or a mapping cannot be a key", "a plain word before ':'")
                child = self.node(next(events), events, depth + 1)
                built.keys.append((str(key.value), key.mark, child))
                built.size += child.size + 1
            built.mark = self.mark(event, inner, built.mark.style)
        if event.anchor:
            self.anchors[event.anchor] = built
        return built

    def count(self, size: int, line: int) -> None:
        self.values += size
        if self.values > MOST_VALUES:
            raise _TooMuchError(
                line,
                f"the file holds more than {MOST_VALUES:,} values by here, repetitions with * counted",
                f"at most {MOST_VALUES:,} values",
            )

    def mark(self, first: Any, last: Any, style: str) -> Mark:
        start, end = first.start_mark, last.end_mark
        return Mark(start.line + 1, start.column + 1, start.index, end.index, style)


def _plain(node: _Node, path: Path, tree: Tree) -> Any:
    tree.marks[path] = node.mark
    if node.kind == "scalar":
        return node.value if node.mark.style != "plain" else _scalar(node.value)
    if node.kind == "list":
        return [_plain(child, (*path, index), tree) for index, child in enumerate(node.value)]
    plain: dict[str, Any] = {}
    for key, mark, child in node.keys:
        inner = (*path, key)
        if key in plain:
            first = tree.key_marks[inner].line
            if len(tree.faults) < MOST_FAULTS:
                tree.faults.append(
                    Fault(
                        mark.line,
                        mark.column,
                        path_words(inner),
                        key,
                        "each key once",
                        message=f"{key!r} stands here again; it was given in line {first} already",
                    )
                )
            continue
        tree.key_marks[inner] = mark
        plain[key] = _plain(child, inner, tree)
    return plain


def _scalar(text: str) -> Any:
    if text in _WORDS:
        return _WORDS[text]
    if _INTEGER.fullmatch(text) and len(text) < 19:
        return int(text)
    return float(text) if _FLOAT.fullmatch(text) and len(text) < 40 else text

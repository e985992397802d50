"""From YAML text to plain values and the place of each of them; bounded, so that no file can exhaust the machine.

The events of the parser are read one by one with limits on size, depth, number of values and repetition, so that neither a deeply
nested file nor one that refers to itself again and again (a "YAML bomb") costs more than a message.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pullwright.line.faults import Fault, Path, path_words, shown
from pullwright.line.marks import Mark, Repeat, Style, Tree

__all__ = ["MOST_BYTES", "MOST_DEPTH", "MOST_VALUES", "Mark", "Tree", "plain_value", "read_tree"]

MOST_BYTES = 1_000_000
MOST_DEPTH = 24
MOST_VALUES = 100_000

_INTEGER = re.compile(r"-?[0-9]{1,18}")
_FLOAT = re.compile(r"-?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_WORDS: dict[str, object] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip
_EMPTY_END = re.compile(r"(?:\r\n?|[\n\x85\u2028\u2029])(?:[ \t]*(?:\r\n?|[\n\x85\u2028\u2029]))*[ \t]*\Z")
_BREAK = re.compile(r"\r\n?|[\n\x85\u2028\u2029]")
_ANCHOR = re.compile(r"&[^\s,\[\]{}]*(?:(?:[ \t]+#[^\r\n]*|[ \t]*)(?:\r\n?|\n)\s*|[ \t]+)?")


class _TooMuchError(Exception):
    """A limit was passed, or something stands there that a line file cannot have; the message says which."""

    def __init__(self, line: int, column: int, message: str, allowed: str, hint: str = "") -> None:
        super().__init__(message)
        self.line, self.column, self.allowed, self.hint = line, column, allowed, hint


@dataclass(slots=True)
class _Node:
    kind: str
    value: Any
    mark: Mark
    keys: list[tuple[str, Mark, _Node]] = field(default_factory=list)
    size: int = 1
    depth: int = 0
    path: Path | None = None
    """Where the node was first put into the tree."""


def read_tree(text: str) -> Tree:
    """Read YAML text into plain values with their places.

    Syntax faults, duplicate keys and passed limits come back in `faults`; `data` is then what could still be read (or None).

    >>> tree = read_tree("steps:\\n  - name: hone\\n")
    >>> tree.data, tree.mark(("steps", 0, "name")).line
    ({'steps': [{'name': 'hone'}]}, 2)
    """
    tree = Tree()
    if len(text) > MOST_BYTES or len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        tree.faults.append(too_large(f"{len(text):,} characters"))
        return tree
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    try:
        node = _Builder(text).document(iter(YAML(typ="safe", pure=False).parse(text)))
    except _TooMuchError as much:
        tree.faults.append(
            Fault(much.line, much.column, "the file", "this", much.allowed, hint=much.hint, message=str(much))
        )
        return tree
    except MarkedYAMLError as error:
        tree.faults.append(_syntax(error, text))
        return tree
    except (YAMLError, UnicodeError, ValueError) as error:
        tree.faults.append(_strange_character(error, text))
        return tree
    if node is not None:
        tree.data = _plain(node, (), tree)
    return tree


def too_large(read: str) -> Fault:
    """Make the fault of a file that is larger than any line file."""
    hint = "a line file is typed by a person: give the mean and cv of long series of readings"
    allowed = f"at most {MOST_BYTES:,} bytes"
    return Fault(0, 0, "the file", read, allowed, hint, f"read {read}; allowed: {allowed}")


def _strange_character(error: Exception, text: str) -> Fault:
    at = getattr(error, "position", getattr(error, "start", None))
    if not isinstance(at, int) or not 0 <= at < len(text):
        said = " ".join(str(error).split())
        return Fault(0, 0, "the file", "characters that YAML does not allow", "plain text in UTF-8", message=said)
    breaks = list(_BREAK.finditer(text, 0, at))
    line, column = len(breaks) + 1, at - (breaks[-1].end() if breaks else 0) + 1
    read = f"the character U+{ord(text[at]):04X}"
    said = f"{read} stands here; a line file is plain text"
    return Fault(line, column, "the file", read, "plain text in UTF-8", "is this a line file?", said)


def _syntax(error: Any, text: str) -> Fault:
    mark = error.problem_mark or error.context_mark
    lines = _BREAK.split(text)
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    problem = " ".join(str(error.problem or error.context or "this cannot be read").split())
    # A bracket or quote that is never closed is noticed at the end of the file; the person looks for its beginning.
    if error.context_mark and ("flow" in str(error.context) or "quoted" in str(error.context)):
        line, column = error.context_mark.line + 1, error.context_mark.column + 1
    here = lines[line - 1] if 0 < line <= len(lines) else ""
    read = shown(here)
    return Fault(
        line,
        column,
        "the file",
        read,
        "YAML",
        _syntax_hint(problem, here),
        f"this is not YAML: {problem}; read {read!r}",
    )


def _syntax_hint(problem: str, here: str) -> str:
    start = here.lstrip(" -")
    if "\t" in here[: len(here) - len(here.lstrip())]:
        return "a tab stands in this line: indent with spaces"
    if "mapping values" in problem:
        return "put quotes round a text that holds ': '"
    if "unexpected ':'" in problem:
        return 'put quotes round a text that holds a colon, such as "06:30", inside braces'
    if "cannot start any token" in problem:
        return "put quotes round a text that begins with one of @ ` %" if start else ""
    if "expected" in problem or "unexpected" in problem or "could not find" in problem:
        return "a bracket, brace, quote or colon may be missing, or a line is not indented like its neighbours"
    return ""


class _Builder:
    """Builds nodes out of parser events and keeps count of what they cost."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.shift = 1 if text.startswith("\ufeff") else 0  # the parser does not count a byte order mark
        self.anchors: dict[str, _Node] = {}
        self.values = 0

    def document(self, events: Iterator[Any]) -> _Node | None:
        root: _Node | None = None
        for event in events:
            name = type(event).__name__
            if name == "DocumentStartEvent":
                if root is not None:
                    raise self.refuse(event, "a second document begins here ('---')", "one document a file")
            elif name in ("ScalarEvent", "MappingStartEvent", "SequenceStartEvent", "AliasEvent"):
                root = self.node(event, events, 0)
        return root

    def refuse(self, event: Any, message: str, allowed: str, hint: str = "") -> _TooMuchError:
        return _TooMuchError(event.start_mark.line + 1, event.start_mark.column + 1, message, allowed, hint)

    def node(self, event: Any, events: Iterator[Any], depth: int) -> _Node:
        self.check_depth(event, depth)
        name = type(event).__name__
        if name == "AliasEvent":
            return self.alias(event, depth)
        self.count(1, event)
        if event.tag is not None:
            hint = "write the value alone; put quotes round a text that begins with !"
            raise self.refuse(
                event,
                f"a tag ({shown(event.tag.replace('tag:yaml.org,2002:', '!!'))}) stands here",
                "values without tags",
                hint,
            )
        if name == "ScalarEvent":
            built = _Node("scalar", event.value, self.mark(event, event, _style(event)))
        elif name == "SequenceStartEvent":
            built = self.sequence(event, events, depth)
        else:
            built = self.mapping(event, events, depth)
        if event.anchor:
            self.anchors[event.anchor] = built
        return built

    def alias(self, event: Any, depth: int) -> _Node:
        known = self.anchors.get(event.anchor)
        if known is None:
            said = f"*{shown(event.anchor)} refers to nothing above it"
            raise self.refuse(
                event, said, "a name that was given with & before", "put quotes round a text that begins with *"
            )
        self.count(known.size, event)
        self.check_depth(event, depth + known.depth)
        return _Node("alias", known, self.mark(event, event, "plain"), size=known.size, depth=known.depth)

    def sequence(self, event: Any, events: Iterator[Any], depth: int) -> _Node:
        built = _Node("list", [], self.mark(event, event, "flow"))
        while type(inner := next(events)).__name__ != "SequenceEndEvent":
            child = self.node(inner, events, depth + 1)
            built.value.append(child)
            built.size += child.size
            built.depth = max(built.depth, child.depth + 1)
        built.mark = self.around(event, inner, built.value[-1].mark.end if built.value else None)
        return built

    def mapping(self, event: Any, events: Iterator[Any], depth: int) -> _Node:
        built = _Node("map", None, self.mark(event, event, "flow"))
        while type(inner := next(events)).__name__ != "MappingEndEvent":
            key = self.node(inner, events, depth + 1)
            if key.kind != "scalar":
                raise self.refuse(inner, "a list, a mapping or a repetition cannot be a key", "a plain word before ':'")
            child = self.node(next(events), events, depth + 1)
            built.keys.append((str(key.value), key.mark, child))
            built.size += child.size + 1
            built.depth = max(built.depth, child.depth + 1)
        last = built.keys[-1] if built.keys else None
        built.mark = self.around(event, inner, max(last[1].end, last[2].mark.end) if last else None)
        return built

    def check_depth(self, event: Any, depth: int) -> None:
        if depth > MOST_DEPTH:
            said = f"values are nested more than {MOST_DEPTH} deep here"
            raise self.refuse(event, said, f"at most {MOST_DEPTH} levels")

    def count(self, size: int, event: Any) -> None:
        self.values += size
        if self.values > MOST_VALUES:
            said = f"the file holds more than {MOST_VALUES:,} values by here, repetitions with * counted"
            raise self.refuse(event, said, f"at most {MOST_VALUES:,} values")

    def mark(self, first: Any, last: Any, style: Style) -> Mark:
        begin = first.start_mark
        start, end = begin.index + self.shift, last.end_mark.index + self.shift
        if first.anchor and type(first).__name__ != "AliasEvent" and (found := _ANCHOR.match(self.text, start)):
            start = min(found.end(), end) if end > start else found.end()
        if style == "text" and (rest := _EMPTY_END.search(self.text, start, end)):
            end = rest.start()
        return Mark(begin.line + 1, begin.column + 1, start, max(start, end), style)

    def around(self, first: Any, last: Any, content_end: int | None) -> Mark:
        if first.flow_style:
            return self.mark(first, last, "flow")
        mark = self.mark(first, first, "block")
        return Mark(mark.line, mark.column, mark.start, max(mark.start, content_end or 0), "block")


def _style(event: Any) -> Style:
    return "quoted" if event.style in ("'", '"') else "text" if event.style in ("|", ">") else "plain"


def _plain(node: _Node, path: Path, tree: Tree) -> Any:
    if node.kind == "alias":
        target: _Node = node.value
        if target.path is not None and path not in tree.repeats:
            tree.repeats[path] = Repeat(target.path, node.mark)
            tree.sources.add(target.path)
        return _plain(target, path, tree)
    tree.marks[path] = node.mark
    node.path = path if node.path is None else node.path
    if node.kind == "scalar":
        value = node.value if node.mark.style != "plain" else plain_value(node.value)
        if value is None:
            tree.empty.add(path)
        return value
    if node.kind == "list":
        return [_plain(child, (*path, index), tree) for index, child in enumerate(node.value)]
    plain: dict[str, Any] = {}
    for key, mark, child in node.keys:
        inner = (*path, key)
        refused = ""
        if key in plain:
            refused = f"{shown(key)!r} stands here again; it was given in line {tree.key_marks[inner].line} already"
        elif key == "<<" and mark.style == "plain":
            refused = "fields cannot be merged in with <<: repeat a whole value with *name, or write the fields out"
        if refused:
            tree.spoilt.add(path)
            allowed = "fields written out" if key == "<<" else "each key once"
            tree.faults.append(Fault(mark.line, mark.column, path_words(inner), shown(key), allowed, message=refused))
            continue
        tree.key_marks[inner] = mark
        plain[key] = _plain(child, inner, tree)
    return plain


def plain_value(word: str) -> Any:
    """Give what an unquoted word stands for: nothing, yes or no, a number, or itself.

    A number is taken as one only where it is written as it would be written back, so that a name such as 007 stays as it is.

    >>> plain_value("12.5"), plain_value("007"), plain_value("3.20"), plain_value("~")
    (12.5, '007', '3.20', None)
    """
    if word in _WORDS:
        return _WORDS[word]
    if _INTEGER.fullmatch(word):
        return number if str(number := int(word)) == word else word
    if len(word) < 40 and _FLOAT.fullmatch(word):
        real = float(word)
        return real if repr(real) == word else word
    return word

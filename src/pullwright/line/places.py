"""Where in the text of a line file a change goes: candidates of the new text, the best one first (see `edit`, which tries them)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pullwright.line.faults import Path
from pullwright.line.marks import Mark, Tree
from pullwright.line.writing import block, flow, words

_LINE_END = re.compile(r"\r\n?|\n|\Z")
_BLANK = re.compile(r"[ \t]*(?:\r\n?|\n)")
_HEADER = re.compile(r"[>|][-+0-9]*[ \t]*(?:#[^\r\n]*)?(?:\r\n?|\n)")


class Places:
    """The text of a file with its tree."""

    def __init__(self, text: str, tree: Tree) -> None:
        self.text, self.tree = text, tree
        found = re.search(r"\r\n?|\n", text)
        self.newline = found[0] if found else "\n"

    # --- values ---------------------------------------------------------------------------------------------------

    def replaced(self, path: Path, wanted: Any) -> Iterator[str]:
        """Put another value in the place of one."""
        span = self._span(path)
        for start, written in self._ways(path, span, wanted):
            yield self.text[:start] + written + self.text[span.end :]

    def _ways(self, path: Path, span: Mark, wanted: Any) -> Iterator[tuple[int, str]]:
        start = span.start
        if (
            span.style == "block"
            and (key := self.tree.key_marks.get(path))
            and self.text[key.end : start].strip() == ":"
        ):
            start = self.text.index(":", key.end) + 1
        gap = " " if start and not self.text[start - 1].isspace() and self.text[start - 1] not in "[{" else ""
        if not isinstance(wanted, str):
            yield start, gap + flow(wanted)
            return
        if span.style == "text":
            yield from ((start, written) for written in self._text_block(path, span, wanted))
        for written in words(wanted, flow=self._in_flow(path), like=self.text[span.start : span.end]):
            yield start, gap + written

    def _text_block(self, path: Path, span: Mark, wanted: str) -> Iterator[str]:
        """Write a block of text again with its own header, where it has one that can hold the new text."""
        header = _HEADER.match(self.text, span.start)
        if header is None:
            return
        indent = re.compile(r"[ \t]*").match(self.text, header.end())
        lines = wanted.split("\n")
        if indent is not None and wanted.strip() == wanted and all(line == line.strip() for line in lines):
            between = self.newline * (2 if header[0].startswith(">") else 1)
            yield header[0] + between.join(f"{indent[0]}{line}" if line else "" for line in lines)

    # --- fields ---------------------------------------------------------------------------------------------------

    def with_field(self, path: Path, key: str, wanted: Any) -> Iterator[str]:
        """Add a field at the end of a mapping."""
        span, keys = self._span(path), self._keys(path)
        word = next(words(key, flow=True))
        if span.style == "flow":
            yield from self._into_flow(span, [self._entry(one) for one in keys], f"{word}: {flow(wanted)}")
            return
        indent, first, last = self._indent(self.tree.key_marks[keys[0]].start), keys[0], keys[-1]
        end = self._newline_at(self.tree.key_marks[first].start)
        at = self._end_of_line(span.end)
        yield self.text[:at] + f"{end}{indent}{word}:{block(wanted, indent, end)}" + self.text[at:]
        # A block of text that keeps the empty lines after it leaves no room behind it.
        before = self.tree.key_marks[last].start
        yield self.text[:before] + f"{word}: {flow(wanted)}{end}{indent}" + self.text[before:]

    def without_field(self, path: Path) -> Iterator[str]:
        """Take a field out of a mapping."""
        around = path[:-1]
        span, keys = self._span(around), self._keys(around)
        if len(keys) == 1:
            yield self.text[: span.start] + "{}" + self.text[span.end :]
            return
        entries = [self._entry(key) for key in keys]
        which = keys.index(path)
        yield self._without_flow(entries, which) if span.style == "flow" else self._without_lines(entries, which)

    # --- entries of lists -----------------------------------------------------------------------------------------

    def with_item(self, path: Path, wanted: Any, typed: str) -> Iterator[str]:
        """Add an entry at the end of a list, as it was typed where it fits there."""
        span, count = self._span(path), self._count(path)
        items = [self._whole((*path, index)) for index in range(count)]
        one_line = typed.strip() if typed and len(typed.strip().splitlines()) == 1 else ""
        if span.style == "flow":
            for written in dict.fromkeys(filter(None, (one_line, flow(wanted)))):
                yield from self._into_flow(span, items, written)
            return
        indent, end = self._indent(span.start), self._newline_at(span.start)
        at = self._end_of_line(span.end)
        for written in self._as_item(path, count, wanted, typed.strip("\r\n"), f"{end}{indent}  "):
            yield self.text[:at] + f"{end}{indent}- {written}" + self.text[at:]

    def _as_item(self, path: Path, count: int, wanted: Any, typed: str, below: str) -> Iterator[str]:
        if typed:
            margin = len(typed) - len(typed.lstrip(" "))
            lines = [line[margin:] if not line[:margin].strip() else line for line in typed.splitlines()]
            yield "".join(f"{below if k and line else ''}{line or self.newline}" for k, line in enumerate(lines))
        if isinstance(wanted, dict) and wanted and self._span((*path, count - 1)).style == "block":
            yield below.join(
                f"{flow(key)}:{block(value, below.lstrip(self.newline), self.newline)}" for key, value in wanted.items()
            )
        yield flow(wanted)

    def without_item(self, path: Path, index: int) -> Iterator[str]:
        """Take an entry out of a list."""
        span, count = self._span(path), self._count(path)
        if count == 1:
            yield from self.replaced(path, [])
            return
        items = [self._whole((*path, k)) for k in range(count)]
        if span.style == "flow":
            yield self._without_flow(items, index)
            return
        dashes = [span.start]
        column = self._column(span.start)
        for _, end in items[:-1]:
            found = re.compile(rf"^.{{{column}}}-(?=\s|$)", re.MULTILINE).search(self.text, self._end_of_line(end))
            if found is None:
                return
            dashes.append(found.end() - 1)
        yield self._without_lines(
            [(dash, max(dash + 1, end)) for dash, (_, end) in zip(dashes, items, strict=True)], index
        )

    # --- spans ----------------------------------------------------------------------------------------------------

    def _span(self, path: Path) -> Mark:
        """The value itself; the `*name` where it is repeated."""
        repeat = self.tree.repeats.get(path)
        return self.tree.marks[path] if repeat is None else repeat.mark

    def _whole(self, path: Path) -> tuple[int, int]:
        """The span of a value with the anchor before it."""
        span = self._span(path)
        before = re.compile(r"&[^\s,\[\]{}]*\s+(?:#[^\r\n]*\s+)*\Z").search(
            self.text[max(0, span.start - 400) : span.start]
        )
        return span.start - (len(before[0]) if before else 0), span.end

    def _entry(self, path: Path) -> tuple[int, int]:
        """The span of a field from its key to the end of its value."""
        key = self.tree.key_marks[path]
        return key.start, max(self._span(path).end, key.end)

    def _keys(self, path: Path) -> list[Path]:
        found = [key for key in self.tree.key_marks if len(key) == len(path) + 1 and key[:-1] == path]
        return sorted(found, key=lambda key: self.tree.key_marks[key].start)

    def _count(self, path: Path) -> int:
        return sum(1 for mark in self.tree.marks if len(mark) == len(path) + 1 and mark[:-1] == path)

    def _in_flow(self, path: Path) -> bool:
        return any(self._span(path[:length]).style == "flow" for length in range(len(path)))

    # --- text -----------------------------------------------------------------------------------------------------

    def _into_flow(self, span: Mark, entries: list[tuple[int, int]], written: str) -> Iterator[str]:
        at = entries[-1][1] if entries else span.start + 1
        for before in (", ", " , ") if entries else ("",):
            yield self.text[:at] + before + written + self.text[at:]

    def _without_flow(self, entries: list[tuple[int, int]], which: int) -> str:
        start, end = entries[which]
        if which + 1 < len(entries):
            end = entries[which + 1][0]
        elif which:
            start = entries[which - 1][1]
        return self.text[:start] + self.text[end:]

    def _without_lines(self, entries: list[tuple[int, int]], which: int) -> str:
        start, end = entries[which]
        behind = _LINE_END.search(self.text, self._end_of_line(end))
        assert behind is not None
        line = self._line_start(start)
        if not self.text[line:start].strip(" \t"):
            if behind.end() == behind.start() and line:  # the last line of a file that ends without a line end
                return self.text[: len(self.text[:line].rstrip("\r\n"))]
            return self.text[:line] + self.text[behind.end() :]
        at = behind.end()
        while (blank := _BLANK.match(self.text, at)) and blank.end() > at:
            at = blank.end()
        return self.text[:start] + self.text[at:].lstrip(" \t")

    def _line_start(self, at: int) -> int:
        before = max(self.text.rfind("\n", 0, at), self.text.rfind("\r", 0, at)) + 1
        return before or int(self.text.startswith("\ufeff"))

    def _column(self, at: int) -> int:
        return at - self._line_start(at)

    def _end_of_line(self, at: int) -> int:
        found = _LINE_END.search(self.text, at)
        assert found is not None
        return found.start()

    def _newline_at(self, at: int) -> str:
        found = re.compile(r"\r\n?|\n").search(self.text, at)
        return found[0] if found else self.newline

    def _indent(self, at: int) -> str:
        """As much space as stands before a key or a dash; `- ` before it counts as space."""
        return re.sub(r"[^ \t]", " ", self.text[self._line_start(at) : at])

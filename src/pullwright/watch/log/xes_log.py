"""Reads a log out of XES, the standard for event logs (IEEE 1849-2016 and -2023)."""

from __future__ import annotations

import re
from array import array
from pathlib import Path
from typing import TYPE_CHECKING
from xml.parsers import expat

from pullwright.watch.log.faults import LogError
from pullwright.watch.log.headers import named
from pullwright.watch.log.limits import LOG_LIMITS, check_size
from pullwright.watch.log.raw import ROW, RawLog

if TYPE_CHECKING:
    import polars as pl

VALUES = frozenset(("string", "date", "int", "float", "boolean", "id"))
HOLDERS = frozenset(("list", "container", "values"))
CHUNK = 1_000_000
LIFECYCLE = "lifecycle:transition"
_KEYS = re.compile(r"'([^']*)'|(\S+)")
"""The keys of a classifier: parted by spaces, those with spaces in quotes."""


def read_xes(path: Path, name: str) -> RawLog:
    """A log out of XES: a row an event, a column an attribute; those of the trace stand under "case ..." Errors: LogError.

    Attributes inside attributes are named "outer/inner". Where the log declares an attribute for all events or traces (a global of
    IEEE 1849), its value stands in for those that do not have it, moments aside: a moment that nobody noted is not made up. A
    classifier of several attributes is a column of its own, their values joined by " + "; the lifecycle is left out of it.
    """
    reader = _Reader(name)
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler = reader.begin, reader.end
    parser.StartDoctypeDeclHandler = reader.refuse
    parser.EntityDeclHandler = reader.refuse
    reader.parser = parser
    try:
        with path.open("rb") as file:
            while chunk := file.read(CHUNK):
                parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        said = expat.ErrorString(error.code)
        raise LogError(f"XML that breaks off or is not well formed ({said})", "a whole XES file", "export it again", file=name, row=error.lineno) from None  # fmt: skip
    except (ValueError, LookupError) as error:
        if isinstance(error, LogError):
            raise
        raise LogError(f"XML in an encoding that is not known ({error})", "UTF-8 or UTF-16", "export it again", file=name) from None  # fmt: skip
    return reader.log()


class _Reader:
    """Gathers the attributes of events, one list a key."""

    parser: expat.XMLParserType

    def __init__(self, name: str) -> None:
        self.name = name
        self.path: list[str] = []
        self.keys: list[str] = []
        self.in_trace = self.in_event = False
        self.skip = 0
        self.case: dict[str, str] = {}
        self.event: dict[str, str] = {}
        self.columns: dict[str, tuple[array[int], list[str]]] = {}
        self.events = self.traces = self.lone = 0
        self.root = ""
        self.globals: dict[str, str] = {}
        self.classifiers: dict[str, tuple[str, ...]] = {}
        self.scope = ""

    def refuse(self, *_: object) -> None:
        """Refuse what XES has no use for and what can make a small file huge."""
        raise LogError("a document type or an entity", "XES without them", "export it again", file=self.name, row=self.parser.CurrentLineNumber)  # fmt: skip

    def begin(self, tag: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        tag = tag.rpartition(":")[2]
        self.path.append(tag)
        if len(self.path) > LOG_LIMITS["depth"].most + 4:
            raise LogError("attributes in one another without end", LOG_LIMITS["depth"].words, "export it again", file=self.name, row=self.parser.CurrentLineNumber)  # fmt: skip
        if not self.root:
            self.root = tag
            if tag != "log":
                raise LogError(f"XML that begins with <{tag[:40]}>", "XES, which begins with <log>", "export the log as XES or CSV", file=self.name, row=self.parser.CurrentLineNumber)  # fmt: skip
            return
        if self.skip or tag == "extension":
            self.skip += 1
        elif tag == "global" and not self.in_trace:
            self.scope = attributes.get("scope", "event")
        elif tag == "classifier":
            self.skip += 1
            keys = tuple(a or b for a, b in _KEYS.findall(attributes.get("keys", "")))
            if attributes.get("scope", "event") == "event" and keys:
                self.classifiers[attributes.get("name", "")] = keys
        elif tag == "trace" and not self.in_trace:
            self.in_trace, self.case = True, {}
            self.traces += 1
        elif tag == "event" and not self.in_event:
            self.in_event, self.event = True, {}
            self.lone += not self.in_trace
        elif tag in VALUES or tag in HOLDERS:
            self._attribute(tag, attributes)

    def _attribute(self, tag: str, attributes: dict[str, str]) -> None:
        if tag == "values":
            return
        key = attributes.get("key", "")
        self.keys.append(key)
        value = attributes.get("value")
        if value is None or not (self.in_event or self.in_trace or self.scope):
            return
        if len(value) > LOG_LIMITS["cell"].most:
            raise LogError(f"a value of {len(value):,} characters", f"up to {LOG_LIMITS['cell'].words}", "leave it out", file=self.name, row=self.parser.CurrentLineNumber, column=key[:80])  # fmt: skip
        full = "/".join(self.keys)
        if self.scope:
            if tag != "date" and self.scope in ("event", "trace") and len(self.globals) < LOG_LIMITS["columns"].most:
                self.globals[full if self.scope == "event" else f"case {full}"] = value
        elif self.in_event:
            self.event[full] = value
        else:
            self.case[f"case {full}"] = value

    def end(self, tag: str) -> None:
        """An element ends."""
        tag = tag.rpartition(":")[2]
        self.path.pop()
        if self.skip:
            self.skip -= 1
        elif tag == "global" and self.scope:
            self.scope = ""
        elif tag == "event" and self.in_event and tag not in self.path:
            self.in_event = False
            self._keep()
        elif tag == "trace" and tag not in self.path:
            self.in_trace = False
        elif (tag in VALUES or tag in HOLDERS) and tag != "values" and self.keys:
            self.keys.pop()

    def _keep(self) -> None:
        self.events += 1
        if self.events > LOG_LIMITS["rows"].most:
            raise LogError("too many events", f"up to {LOG_LIMITS['rows'].words}", "cut the log into parts", file=self.name)  # fmt: skip
        for some in (self.case, self.event):
            for key, value in some.items():
                column = self.columns.get(key)
                if column is None:
                    if len(self.columns) >= LOG_LIMITS["columns"].most:
                        raise LogError("too many kinds of attributes", f"up to {LOG_LIMITS['columns'].words}", "leave out those that are not needed", file=self.name, row=self.parser.CurrentLineNumber)  # fmt: skip
                    column = self.columns[key] = (array("I"), [])
                column[0].append(self.events - 1)
                column[1].append(value)

    def log(self) -> RawLog:
        """The table of what was gathered."""
        import polars as pl

        if not self.events or not self.columns:
            raise LogError("an event log without an event", "at least one event with attributes", "export it again", file=self.name)  # fmt: skip
        columns = {}
        for key, (at, values) in self.columns.items():
            text = pl.Series(values, dtype=pl.String)
            if len(values) < self.events:
                empty = pl.Series([None], dtype=pl.String).new_from_index(0, self.events)
                text = empty.scatter(pl.Series(at, dtype=pl.UInt32), text)
            columns[key] = text
        noticed = self._stand_in(columns)
        self._classify(columns)
        check_size(len(columns), self.events, self.name)
        names, said = named(list(columns))
        noticed += said
        table = pl.DataFrame(dict(zip(names, columns.values(), strict=True)))
        table = table.with_columns(pl.when(pl.col(n) != "").then(pl.col(n)).alias(n) for n in names)
        at_row = pl.int_range(1, self.events + 1, dtype=pl.UInt32, eager=True).alias(ROW)
        if self.lone:
            noticed.append(f"{self.lone:,} events stand outside of every trace.")
        return RawLog(table.insert_column(0, at_row), self.name, f"XES, {self.traces:,} traces", tuple(names), tuple(noticed))  # fmt: skip

    def _stand_in(self, columns: dict[str, pl.Series]) -> list[str]:
        """Fill in what the log declares for all events and traces, and say how often."""
        import polars as pl

        noticed = []
        for key, value in self.globals.items():
            column = columns.get(key)
            missing = self.events if column is None else column.null_count()
            if not missing or not value:
                continue
            if column is None:
                columns[key] = pl.Series([value], dtype=pl.String).new_from_index(0, self.events)
            else:
                columns[key] = column.fill_null(value)
            noticed.append(f"{missing:,} {'event does' if missing == 1 else 'events do'} not say {key[:80]}; what the log declares for all stands there ({value[:80]}).")  # fmt: skip
        return noticed

    def _classify(self, columns: dict[str, pl.Series]) -> None:
        """Add a column for each classifier of several attributes that are all there."""
        import polars as pl

        for name, keys in self.classifiers.items():
            some = [columns[key] for key in keys if key != LIFECYCLE and key in columns]
            if len(some) < 2 or len(some) < len([key for key in keys if key != LIFECYCLE]):
                continue
            called = f"classifier {name}".strip()
            if called not in columns and len(columns) < LOG_LIMITS["columns"].most:
                parts = [column.fill_null("").alias(str(n)) for n, column in enumerate(some)]
                columns[called] = pl.select(pl.concat_str(parts, separator=" + ")).to_series()

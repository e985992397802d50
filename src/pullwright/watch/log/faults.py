"""What cannot be read of an event log: where it stands, what was read, what is allowed, what to do."""

from __future__ import annotations


class LogError(ValueError):
    """A file that is no event log, or a plan of its columns that does not fit it.

    `read` is what was read, `allowed` what may stand there, `todo` what to do about it; `file`, `row` and `column` say
    where, `row` 0 and `column` "" where the whole file is meant.

    >>> print(LogError("a picture (PNG)", "CSV, XLSX, Parquet or XES", "export the list itself", file="log.csv"))
    log.csv: a picture (PNG) was read; allowed is CSV, XLSX, Parquet or XES; export the list itself
    """

    def __init__(
        self, read: str, allowed: str, todo: str = "", *, file: str = "", row: int = 0, column: str = ""
    ) -> None:
        self.read, self.allowed, self.todo = read, allowed, todo
        self.file, self.row, self.column = file, row, column
        where = ", ".join(
            part for part in (file, f"row {row:,}" if row else "", f"column {column}" if column else "") if part
        )
        said = f"{read} was read; allowed is {allowed}" + (f"; {todo}" if todo else "")
        super().__init__(f"{where}: {said}" if where else said)

    def __reduce__(self) -> tuple[object, ...]:
        return _again, (self.read, self.allowed, self.todo, self.file, self.row, self.column)


def _again(read: str, allowed: str, todo: str, file: str, row: int, column: str) -> LogError:
    return LogError(read, allowed, todo, file=file, row=row, column=column)

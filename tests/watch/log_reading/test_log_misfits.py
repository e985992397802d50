"""Rows that do not match their header: a large file, put right as a whole, is read like a small one, cell by cell."""

from __future__ import annotations

import csv
import io
import tempfile
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.log import csv_log, csv_uneven
from pullwright.watch.log.raw import RawLog
from pullwright.watch.log.reading import open_log

NAMES = ["order", "step", "station", "start"]
CELLS = ["A-1", "saw", "", " ", "2026-03-02 06:00", "ä", 'said "so"', "two\nlines", "a,b", "7"]


def row(rng: np.random.Generator, *, quoted: bool) -> str:
    """One row as it may stand in a file: too short, too long, empty, parted by something else, or as it should be."""
    kind = rng.choice(["right", "right", "right", "short", "long", "long by blanks", "blank", "spaces", "mixed"])
    size = {"short": int(rng.integers(1, 4)), "long": 6}.get(kind, 4)
    if kind in ("blank", "spaces"):
        return "" if kind == "blank" else "  "
    allowed = CELLS if quoted else [cell for cell in CELLS if not set(cell) & set('",\n')]
    cells = [str(cell) for cell in rng.choice(allowed, size)]
    cells[0] = "A-7"  # a row is never all blank
    if kind == "mixed":
        return ";".join(cell if not set(cell) & set('",\n;') else "x" for cell in cells)
    if kind == "long by blanks":
        cells += ["", " "]
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()


def read_both_ways(path: Path, *, chunk: int = csv_uneven.CHUNK) -> tuple[RawLog, RawLog]:
    found = []
    for small in (0, 1 << 60):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(csv_log, "SMALL", small)
            patch.setattr(csv_uneven, "CHUNK", chunk)
            if not small:
                patch.setattr(csv_log, "_cell_by_cell", None)  # the large way must do without it
            found.append(open_log(path))
    return found[0], found[1]


@settings(max_examples=80, deadline=None)
@given(
    st.integers(0, 2**32 - 1), st.booleans(), st.sampled_from(["\n", "\r\n"]), st.sampled_from([97, 1 << 20]), st.booleans()
)  # fmt: skip
def test_a_large_file_is_read_like_a_small_one(seed: int, quoted: bool, end: str, chunk: int, ends: bool) -> None:
    rng = np.random.default_rng(seed)
    quoted = quoted and end == "\n"
    lines = [
        ",".join(NAMES),
        *["A,saw,M,2026-03-02 06:00"] * 60,  # enough to tell what parts the cells
        *(row(rng, quoted=quoted) for _ in range(int(rng.integers(2, 60)))),
        "A,b",
    ]
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "log.csv"
        path.write_bytes((end.join(lines) + (end if ends else "")).encode("utf-8-sig" if seed % 2 else "utf-8"))
        large, small = read_both_ways(path, chunk=chunk)

    assert large.table.equals(small.table, null_equal=True)
    assert large.noticed == small.noticed
    assert large.headers == small.headers
    assert "shorter" in " ".join(large.noticed)
    assert large.table["row"].dtype == pl.UInt32


def test_rows_in_marks_are_counted_and_their_empty_cells_are_empty(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text('"order","step","station","start"\n' + '"A","saw","M","x"\n' * 9 + '"A","","",""\n"B",""\n')
    large, small = read_both_ways(path)

    assert large.table.equals(small.table, null_equal=True)
    assert large.table.tail(2).rows() == [(11, "A", None, None, None), (12, "B", None, None, None)]
    assert large.noticed == ("1 row is shorter than the header; the missing cells are empty.",)


@pytest.mark.parametrize("strange", ['A,5" pipe,M,x', 'A,"a"b,M,x', 'A,"never closed,M,x'])
def test_marks_that_stand_around_no_whole_cell_are_left_to_the_slow_look(strange: str, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("\n".join([",".join(NAMES), strange, "A,b", ""]))

    assert csv_uneven.evened(path, tmp_path / "even", ",", 4, 1) is None


def test_a_row_without_an_end_is_left_to_the_slow_look(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(csv_uneven, "CHUNK", 100_000)
    path = tmp_path / "log.csv"
    path.write_text(",".join(NAMES) + "\nA," + "x" * 3_000_000)

    assert csv_uneven.evened(path, tmp_path / "even", ",", 4, 1) is None

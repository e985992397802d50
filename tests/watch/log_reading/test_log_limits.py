"""Files that are too large, damaged or odd in their making are refused in words, or read in full; nothing is half-read."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from pathlib import Path

import polars as pl
import pytest

from pullwright.watch.log import limits
from pullwright.watch.log.convert import to_events
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.guess import guess_columns
from pullwright.watch.log.limits import LOG_LIMITS, LogLimit
from pullwright.watch.log.reading import open_log

HEADER = "order,step,machine,start,end"
ROW = "A,saw,S1,2024-05-06 06:00,2024-05-06 07:00"


def put(folder: Path, content: str | bytes, encoding: str = "utf-8", name: str = "log.csv") -> Path:
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
    return path


def workbook(folder: Path, fill: Callable[..., None], name: str = "log.xlsx") -> Path:
    import xlsxwriter

    book = xlsxwriter.Workbook(str(folder / name))
    fill(book.add_worksheet("log"))
    book.close()
    return folder / name


def four_rows(sheet: object) -> None:
    for n, line in enumerate([HEADER] + [ROW] * 3):
        sheet.write_row(n, 0, line.split(","))  # type: ignore[attr-defined]


def repacked(path: Path, part: str, change: Callable[[bytes], bytes]) -> Path:
    """The same workbook with one part changed."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for one in old.infolist():
            content = old.read(one)
            new.writestr(one.filename, change(content) if one.filename == part else content)
    path.write_bytes(out.getvalue())
    return path


def refused(path: Path) -> str:
    with pytest.raises(LogError) as caught:
        open_log(path)
    assert str(caught.value).startswith(path.name)
    assert caught.value.todo
    return str(caught.value)


def test_half_a_million_stations_are_read(tmp_path: Path) -> None:
    n = pl.int_range(500_000)
    at = pl.datetime(2024, 1, 1) + pl.duration(minutes=n // 30)
    table = pl.select(
        order=pl.format("P{}", n // 9), step=pl.lit("drill"), machine=pl.format("M{}", n), start=at, end=at
    )
    table.write_parquet(tmp_path / "log.parquet")
    raw = open_log(tmp_path / "log.parquet")
    found = to_events(raw, guess_columns(raw).with_roles({"station": "machine"}))
    assert found.table["station"].n_unique() == 500_000


def test_a_million_columns_are_refused_with_what_to_do(tmp_path: Path) -> None:
    header = ";".join(f"c{n}" for n in range(1_000_000))
    said = refused(put(tmp_path, f"{header}\n1;2\n"))
    assert "a row that goes on after" in said
    assert "1,000 columns" in said
    assert "leave out those that are not needed" in said


@pytest.mark.parametrize(("key", "most"), [("rows", 2), ("cells", 14)])
@pytest.mark.parametrize("quoted", [False, True])
def test_rows_and_cells_have_a_limit_in_text_too(
    key: str, most: int, quoted: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(limits.LOG_LIMITS, key, LogLimit(most, f"{most} {key}"))
    row = ROW.replace("saw", '"saw"') if quoted else ROW
    said = refused(put(tmp_path, "\n".join([HEADER, row, row, row])))
    assert f"{3 if key == 'rows' else 15} {key} was read; allowed is up to {most} {key}" in said


def test_a_cell_of_a_megabyte_is_refused_with_its_row(tmp_path: Path) -> None:
    said = refused(put(tmp_path, f"{HEADER},note\n{ROW},x\n{ROW},{'x' * 1_000_000}\n"))
    assert "row 3" in said
    assert "100,000 characters in a cell" in said


def test_a_long_cell_is_refused_in_a_large_file_and_in_parquet(tmp_path: Path) -> None:
    body = "\n".join([f"{ROW},x"] * 100_000)
    said = refused(put(tmp_path, f"{HEADER},note\n{ROW},{'x' * 120_000}\n{body}\n"))
    assert "row 2, column note: a cell of 120,000 characters" in said
    pl.DataFrame({"order": ["A", "B"], "note": ["x", "y" * 100_001]}).write_parquet(tmp_path / "log.parquet")
    assert "row 3, column note" in refused(tmp_path / "log.parquet")


def test_a_bomb_of_a_workbook_is_refused_before_it_grows(tmp_path: Path) -> None:
    path = workbook(tmp_path, four_rows)
    said = refused(repacked(path, "xl/worksheets/sheet1.xml", lambda old: old + b" " * 60_000_000))
    assert "a workbook that grows to 6" in said
    assert "save the log as CSV" in said


@pytest.mark.parametrize("quote", [b'"', b"'"])
def test_a_cell_in_the_far_corner_is_refused(quote: bytes, tmp_path: Path) -> None:
    corner = b"<c s=%s0%s r=%sXFD1048576%s><v>1</v></c></row></sheetData>" % ((quote,) * 4)
    path = workbook(tmp_path, four_rows)
    said = refused(repacked(path, "xl/worksheets/sheet1.xml", lambda old: old.replace(b"</row></sheetData>", corner)))
    assert "a sheet of 16,384 columns" in said


def test_rows_above_the_header_of_a_workbook_are_passed_over(tmp_path: Path) -> None:
    def fill(sheet: object) -> None:
        sheet.write(0, 0, "Bookings of the pump works")  # type: ignore[attr-defined]
        for n, line in enumerate([HEADER] + [ROW] * 3, 3):
            sheet.write_row(n, 0, line.split(","))  # type: ignore[attr-defined]

    raw = open_log(workbook(tmp_path, fill))
    assert raw.headers == tuple(HEADER.split(","))
    assert raw.table["row"].to_list() == [5, 6, 7]


def test_a_workbook_cut_off_anywhere_is_said_to_be_damaged(tmp_path: Path) -> None:
    whole = workbook(tmp_path, four_rows).read_bytes()
    for share in (0.05, 0.3, 0.5, 0.8, 0.97, 0.999):
        said = refused(put(tmp_path, whole[: int(share * len(whole))], name="cut.xlsx"))
        assert "a workbook that is damaged" in said


def test_the_table_of_limits_says_in_words_what_it_checks() -> None:
    for limit in LOG_LIMITS.values():
        size = limit.most // 1_000_000 if "megabytes" in limit.words else limit.most
        assert f"{size:,}" in limit.words


@pytest.mark.parametrize(
    "encoding", ["cp1250", "cp1252", "mac_roman", "iso8859_15", "utf-16-le", "utf-16-be", "utf-8-sig"]
)
def test_letters_survive_their_encoding(encoding: str, tmp_path: Path) -> None:
    words = ["Rüsten", "Fräsen", "Entgräten", "Prüfen größer"]
    lines = [HEADER] + [
        f"A{n},{words[n % 4]},Säge {n % 3},2024-05-06 06:{n % 60:02d},2024-05-06 07:{n % 60:02d}" for n in range(80)
    ]
    raw = open_log(put(tmp_path, "\n".join(lines), encoding))
    assert raw.table["step"].unique().sort().to_list() == sorted(words)


def test_zero_bytes_are_refused_with_their_row_in_wide_letters_too(tmp_path: Path) -> None:
    for encoding in ("utf-8", "utf-16"):
        said = refused(put(tmp_path, f"{HEADER}\n{ROW}\nA,\0saw\n", encoding))
        assert "row 3: a zero byte" in said


def test_rows_with_another_sign_between_their_cells_are_read_and_counted(tmp_path: Path) -> None:
    raw = open_log(put(tmp_path, "\n".join([HEADER, *[ROW] * 5, ROW.replace(",", ";"), ROW.replace(",", "\t")])))
    assert raw.table.drop("row").unique().height == 1
    assert "2 rows are parted by something else than commas." in raw.noticed


def test_cells_like_formulas_are_plain_words(tmp_path: Path) -> None:
    odd = ["=1+1", "+x", "-y", "@z"]
    rows = [ROW.replace("saw", word) for word in odd]
    text = open_log(put(tmp_path, "\n".join([HEADER, *rows]))).table["step"].to_list()

    def fill(sheet: object) -> None:
        for n, line in enumerate([HEADER, *rows]):
            for m, cell in enumerate(line.split(",")):
                sheet.write_string(n, m, cell)  # type: ignore[attr-defined]

    assert text == odd == open_log(workbook(tmp_path, fill)).table["step"].to_list()


def test_feather_gives_what_parquet_gives(tmp_path: Path) -> None:
    table = pl.DataFrame(
        {"order": ["A", "B"], "step": ["saw", "turn"], "end": ["2024-05-06 06:00", "2024-05-06 07:00"]}
    )
    table.write_ipc(tmp_path / "log.feather")
    table.write_parquet(tmp_path / "log.parquet")
    feather, parquet = open_log(tmp_path / "log.feather"), open_log(tmp_path / "log.parquet")
    assert feather.form == "Feather"
    assert feather.table.equals(parquet.table)
    whole = (tmp_path / "log.feather").read_bytes()
    assert "a Feather file that is damaged" in refused(put(tmp_path, whole[: len(whole) // 2], name="cut.feather"))

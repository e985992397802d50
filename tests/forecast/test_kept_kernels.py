"""Kernels that were compiled from other sources are not used."""

from __future__ import annotations

from pathlib import Path

from pullwright.forecast.kept_kernels import STAMP, forget_in, stamp_of


def kept(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.iterdir() if file.suffix in (".nbi", ".nbc"))


def test_kept_kernels_go_when_any_source_changes_and_stay_while_none_does(tmp_path):
    sources, folder = tmp_path / "sources", tmp_path / "kept"
    sources.mkdir()
    folder.mkdir()
    (sources / "rows.py").write_text("NOW = 26\n")
    (folder / "work.look.nbi").write_bytes(b"old")
    assert forget_in(folder, stamp_of(sources))
    assert kept(folder) == []
    (folder / "work.look.nbi").write_bytes(b"new")
    assert not forget_in(folder, stamp_of(sources))
    assert kept(folder) == ["work.look.nbi"]
    (sources / "rows.py").write_text("NOW = 27\n")
    assert forget_in(folder, stamp_of(sources))
    assert kept(folder) == []


def test_a_folder_that_is_not_there_is_made_with_its_stamp(tmp_path):
    assert forget_in(tmp_path / "new", "0")
    assert (tmp_path / "new" / STAMP).read_text() == "0"

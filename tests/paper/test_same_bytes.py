"""The same survey, revision and date give the same bytes, wherever and however often they are printed."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest

from pullwright.paper import accounts_sheet
from pullwright.survey import Survey

CODE = """
import hashlib, sys
from datetime import datetime
from pullwright.line import Line
from pullwright.paper import accounts_sheet
from pullwright.survey import survey_of
line = Line.from_text(open(sys.argv[1], encoding="utf-8").read(), name="made_up.yaml")
print(hashlib.sha256(accounts_sheet(survey_of(line), revision="2", printed=datetime(2026, 3, 2, 9, 30))).hexdigest())
"""


@pytest.mark.parametrize("zone", ["UTC", "Asia/Tokyo"])
def test_bytes_do_not_depend_on_process_folder_or_zone(zone: str, tmp_path: Path, lines: SimpleNamespace) -> None:
    text = lines.text(5)
    (tmp_path / "line.yaml").write_text(text, "utf-8")
    here = hashlib.sha256(accounts_sheet(lines.surveyed(text), revision="2", printed=lines.when)).hexdigest()

    done = subprocess.run(
        [sys.executable, "-c", CODE, "line.yaml"],
        cwd=tmp_path,
        env=os.environ | {"TZ": zone, "SOURCE_DATE_EPOCH": "1"},
        capture_output=True,
        text=True,
        check=True,
    )

    assert done.stdout.strip() == here


def test_another_date_or_revision_gives_other_bytes(demo: Survey, lines: SimpleNamespace) -> None:
    sheets = [
        accounts_sheet(demo, printed=lines.when),
        accounts_sheet(demo, printed=datetime(2026, 3, 3, tzinfo=UTC)),
        accounts_sheet(demo, printed=lines.when, revision="2"),
    ]

    assert len(set(sheets)) == 3


def test_typst_is_loaded_only_to_print() -> None:
    code = "import sys, pullwright.paper; print('typst' in sys.modules)"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "False"

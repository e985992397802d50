"""Every kind of oddity is found where it is, with its very rows, and not where it is not."""

from __future__ import annotations

import datetime as dt
import importlib.util
from pathlib import Path
from typing import Any

import pytest

from pullwright.watch.log.events import Events, Oddity
from pullwright.watch.log.oddities import BY_KEY, CHOICES, ODDITIES, oddities

SPEC = importlib.util.spec_from_file_location("made_rows", Path(__file__).with_name("made_rows.py"))

"""Eight runs side by side draw what each of them draws alone."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.luck.shapes import fill_times
from pullwright.forecast.luck.streams import stream_of
from pullwright.forecast.paths.lane_draws import ROW, begin_luck, fill_lanes
from pullwright.forecast.paths.laying import luck_of, runs_in
from pullwright.forecast.paths.plain import Plain, plain_of
from tests.forecast.paths.plain_lines import LAWS
from tests.forecast.small_lines import laid, line_text, machine


def test_number_n_of_a_lane_is_number_n_of_the_stream_of_its_run():
    line = plain_of(laid(line_text([machine("60 s", law) for law in LAWS], demand="{mean: 300 /d, cv: 0.8}")))
    assert isinstance(line, Plain)
    plant, luck, runs = line.layout.plant, luck_of(line), [5, 6, 90, 91, 7, 8]
    begin_luck(luck, np.uint64(3), runs_in(runs))
    for stream in range(plant.stream_kind.size):
        row, alone = np.empty(ROW), np.empty(ROW // 8)
        fill_lanes(luck, stream, 1000, row)
        for lane, number in enumerate(runs):
            key = np.uint64(stream_of(np.uint64(3), np.uint64(number), plant.stream_key[stream]))
            fill_times(
                plant.stream_kind[stream], *plant.stream_numbers[stream], plant.readings, key, 1000, alone, np.empty(ROW), np.empty(ROW, np.int64)
            )  # fmt: skip
            assert np.array_equal(row.reshape(-1, 8)[:, lane], alone)

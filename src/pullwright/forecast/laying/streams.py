"""The streams of all quantities that vary, in arrays."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.laying.source import Source


def streams(of: Source) -> dict[str, np.ndarray]:
    """All streams that were named so far."""
    lengths = [len(shape.readings) for shape in of.shapes]
    begins = np.cumsum([0, *lengths])[:-1]
    return {
        "stream_kind": np.array([shape.kind for shape in of.shapes], np.int64),
        "stream_numbers": np.array([(shape.mean, shape.a, shape.b, shape.c) for shape in of.shapes], float).reshape(
            -1, 4
        ),
        "stream_readings": np.stack([begins, lengths], axis=1).astype(np.int64),
        "readings": np.array([one for shape in of.shapes for one in shape.readings], float),
        "stream_key": np.array(of.keys, np.uint64),
    }

"""Compiled kernels are kept on disk; those that no longer belong to the sources are thrown away before they are used.

The compiler asks of each kernel only whether its own file has changed, but what it calls and the numbers that it was built with stand in
other files of the folders of kernels. A stamp beside the kept kernels says which sources they were made from.
"""

from __future__ import annotations

from functools import cache
from hashlib import blake2b
from importlib import import_module
from pathlib import Path

STAMP = "forecast_kernels.stamp"
_WITNESSES = (
    "pullwright.forecast.luck.streams:mixed",
    "pullwright.forecast.events.moves:draw",
    "pullwright.forecast.paths.rings:in_ring",
)
"""One kernel of each folder that has some: it knows where those of its folder are kept. Its module loads no kernel when it is imported."""


@cache
def forget_stale_kernels() -> None:
    """Remove the kept kernels where the sources of a folder of kernels differ from those they were made from; once in a process."""
    witnesses = [(import_module(module), name) for module, name in (witness.split(":") for witness in _WITNESSES)]
    stamp = stamp_of(*(Path(str(module.__file__)).parent for module, _ in witnesses))
    for module, name in witnesses:
        if (kept := getattr(module, name).stats.cache_path) is not None:
            forget_in(Path(kept), stamp)


def stamp_of(*folders: Path) -> str:
    """What stands for the sources in these folders: it changes with any of them."""
    digest = blake2b(digest_size=16)
    for folder in folders:
        for source in sorted(folder.rglob("*.py")):
            digest.update(str(source.relative_to(folder)).encode() + b"\0" + source.read_bytes() + b"\0")
    return digest.hexdigest()


def forget_in(kept: Path, stamp: str) -> bool:
    """Remove kept kernels from a folder unless they were made from the sources of this stamp; True where it did.

    A folder that cannot be written is left alone: then nothing new is kept in it either.
    """
    told = kept / STAMP
    try:
        if told.exists() and told.read_text("utf-8") == stamp:
            return False
        for file in (*kept.glob("*.nbi"), *kept.glob("*.nbc")):
            file.unlink(missing_ok=True)
        kept.mkdir(parents=True, exist_ok=True)
        told.write_text(stamp, "utf-8")
    except OSError:
        return False
    return True

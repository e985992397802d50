"""Is everything on this machine that the tests need besides Python? Run by `make test` before pytest.

As root on Debian it sets up what is missing. Anybody else is told how, and the tests that need it are then skipped with
their reason; where CI=true nothing may be skipped, so there it ends with a failure.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Need:
    """A Debian package, a file by which it is recognised (below the root of the machine), and what tests do with it."""

    package: str
    file: str
    used_for: str


NEEDS = (
    Need("chromium", "usr/bin/chromium", "screens"),
    Need("postgresql", "usr/lib/postgresql/*/bin/initdb", "records on a server"),
    Need("poppler-utils", "usr/bin/pdftotext", "prints"),
    Need("fonts-dejavu-core", "usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", "pictures of screens"),
)


@dataclass(frozen=True)
class Decision:
    """What to do: set up or not, what to say, and the exit status when it is left at that."""

    set_up: bool
    say: str
    status: int


def missing_below(root: Path) -> tuple[Need, ...]:
    """The needs that the machine with this root folder does not meet."""
    return tuple(need for need in NEEDS if not any(root.glob(need.file)))


def decide(missing: Iterable[Need], *, may_set_up: bool, everything_must_run: bool) -> Decision:
    """Decide from what is missing, whether we may set it up, and whether a skipped test counts as a failure.

    >>> decide([], may_set_up=True, everything_must_run=True)
    Decision(set_up=False, say='', status=0)
    >>> decide(NEEDS[:1], may_set_up=False, everything_must_run=False).status
    0
    """
    missing = tuple(missing)
    if not missing:
        return Decision(set_up=False, say="", status=0)
    packages = " ".join(need.package for need in missing)
    uses = ", ".join(need.used_for for need in missing)
    if may_set_up:
        return Decision(set_up=True, say=f"Setting up what tests of {uses} need: {packages}", status=0)
    say = f"Missing on this machine: {packages}. On Debian, as root: apt-get install {packages}\n"
    if everything_must_run:
        return Decision(set_up=False, say=f"{say}With CI=true every test has to run, so this is a failure.", status=1)
    return Decision(set_up=False, say=f"{say}Until then tests of {uses} are skipped.", status=0)


def set_up(missing: Iterable[Need]) -> None:
    """Have apt-get set up the packages; what it says is shown only when it fails."""
    install = ["apt-get", "install", "-y", "--no-install-recommends", *(need.package for need in missing)]
    for command in (["apt-get", "update"], install):
        done = subprocess.run(
            command,
            env=os.environ | {"DEBIAN_FRONTEND": "noninteractive"},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        if done.returncode:
            print(f"{' '.join(command)} failed:\n{done.stdout}", file=sys.stderr)


def main(root: Path = Path("/")) -> int:
    """Look, set up if we may, look again, and give the exit status."""
    may_set_up = os.geteuid() == 0 and shutil.which("apt-get") is not None
    everything_must_run = os.environ.get("CI") == "true"
    missing = missing_below(root)
    decision = decide(missing, may_set_up=may_set_up, everything_must_run=everything_must_run)
    if decision.set_up:
        print(decision.say, flush=True)
        set_up(missing)
        decision = decide(missing_below(root), may_set_up=False, everything_must_run=everything_must_run)
    if decision.say:
        print(decision.say, file=sys.stderr)
    return decision.status


if __name__ == "__main__":
    sys.exit(main())

"""The journals that are measured on, each written once: 5,000 readings a make."""

from __future__ import annotations

import sys
import time
from pathlib import Path

READINGS = 5_000
SMALL = 100


class Journals:
    """Journals by their number of makes. They lie in `kept`, where a folder is given and
    they stay, else in `folder`, where everything lies that ends with the measurement."""

    def __init__(self, folder: Path, kept: Path | None, makes: int) -> None:
        self.folder = folder
        self.large = makes
        self.kept = kept or folder
        self.kept.mkdir(parents=True, exist_ok=True)

    @property
    def sizes(self) -> tuple[int, ...]:
        """The numbers of makes between which growth is told."""
        return tuple(sorted({size for size in (SMALL, 1_000, self.large) if size <= self.large}))

    @property
    def small(self) -> int:
        """The smallest of them."""
        return self.sizes[0]

    def of(self, makes: int) -> Path:
        """The journal of so many makes, written when it is first asked for."""
        path = self.kept / f"{makes}-makes.vatside"
        if not path.exists():
            since = time.monotonic()
            begun = self.kept / f"{makes}-makes-begun.vatside"
            begun.unlink(missing_ok=True)
            if makes > SMALL:
                _write_copies(begun, makes)
            else:
                _write_small(begun, makes)
            begun.rename(path)
            took = f"{time.monotonic() - since:.0f} s, {path.stat().st_size / 1e6:.0f} MB"
            sys.stderr.write(f"Wrote {makes:,} makes of {READINGS:,} readings: {took}.\n")
        return path


def _write_small(path: Path, makes: int) -> None:
    from journal.sample import write_sample

    write_sample(path, makes=makes, readings_per_make=READINGS)


def _write_copies(path: Path, makes: int) -> None:
    """A small kitchen, and before it many years of makes like its own."""
    from tests.pace.copies import add_copies

    _write_small(path, SMALL)
    add_copies(path, makes)

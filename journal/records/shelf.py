"""Where the program's own files lie: plans, tables, icons, sounds."""

from __future__ import annotations

from pathlib import Path

from journal.records import RecordError


def shelf(*parts: str) -> Path:
    """The path of one of the program's own files, in a checkout as in an installed wheel.

    Raises
    ------
    RecordError
        When the installation lacks it.
    """
    package = Path(__file__).resolve().parents[1]
    for root in (package / "resources", package.parent / "resources"):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise RecordError(f"The program's own file {'/'.join(parts)} is missing: install it again.")

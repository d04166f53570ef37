"""Where the program's own files lie: plans, tables, icons, sounds."""

from __future__ import annotations

import sys
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


def own_folder_words(path: str | Path) -> str:
    """What to say of a journal that lies in the program's own folder, "" of any other."""
    package = Path(__file__).resolve().parents[1]
    checkout = (package.parent / "resources").is_dir()
    own = [package.parent if checkout else package]
    if sys.prefix != sys.base_prefix:
        own.append(Path(sys.prefix).resolve())
    where = Path(path).resolve()
    if not any(where.is_relative_to(folder) for folder in own):
        return ""
    return (
        f"{where.name} lies in the folder of the program itself, {where.parent}: cleaning that up, "
        "or a new version, can delete it. Close it and move it, with its folder of photos, to "
        "your documents."
    )

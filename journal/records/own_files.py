"""Where the program's own files lie: plans, tables, icons, sounds."""

from __future__ import annotations

import sys
from pathlib import Path

from journal.message import Message
from journal.records import RecordError


def own_file(*parts: str) -> Path:
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
    raise RecordError("records.own-file-missing", path="/".join(parts))


def own_folder(path: str | Path) -> Message | None:
    """What to say of a journal that lies in the program's own folder, None of any other."""
    package = Path(__file__).resolve().parents[1]
    checkout = (package.parent / "resources").is_dir()
    own = [package.parent if checkout else package]
    if sys.prefix != sys.base_prefix:
        own.append(Path(sys.prefix).resolve())
    where = Path(path).resolve()
    if not any(where.is_relative_to(folder) for folder in own):
        return None
    return Message("records.in-own-folder", name=where.name, folder=str(where.parent))

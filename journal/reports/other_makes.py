"""The makes that run beside the one that is shown."""

from __future__ import annotations

from journal.curves.snapshot import OtherMake
from journal.keeping import Journal
from journal.records import id_of
from journal.records.due import step_of
from journal.records.makes import StageRun


def others_of(journal: Journal, make_id: int) -> tuple[OtherMake, ...]:
    """The makes that run beside this one, oldest first."""
    found = []
    for make in reversed(journal.makes.running()):
        if make.id != make_id:
            runs = sorted(journal.runs.where(make_id=make.id), key=_position)
            found.append(OtherMake(id_of(make), step_of(make, journal.makes.plan_of(make), runs)))
    return tuple(found)


def _position(run: StageRun) -> int:
    return run.position

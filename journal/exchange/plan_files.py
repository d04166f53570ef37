"""Plans as files of their own: exported as TOML, and imported into a journal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from journal.exchange import ExchangeError
from journal.keeping import Journal, KeepingError, open_other, reason
from journal.records import RecordError
from journal.records.plan_text import builtin_plans, read_plan, write_plan
from journal.records.plans import Plan, new_uuid

SUFFIX = ".toml"
_LARGEST = 1_000_000  # bytes; a plan takes a few thousand


@dataclass(frozen=True)
class IncomingPlan:
    """A plan read from a file, beside the plan of its name that is known already (None: none is).

    `plan` has the version it would get here; `same` is true when the known one says the same.
    """

    plan: Plan
    known: Plan | None
    same: bool


def read_plan_file(path: str | Path) -> Plan:
    """The plan in a TOML file.

    Raises
    ------
    ExchangeError
        With the file's name, and the line and the reason where its text is at fault.
    """
    name = _called(path)
    try:
        with open_other(Path(path)) as file:
            raw = file.read(_LARGEST + 1)
    except OSError as error:
        raise ExchangeError("keeping.file-not-read", file=name, why=reason(error)) from None
    if len(raw) > _LARGEST:
        raise ExchangeError("exchange.plan-too-large", file=name)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ExchangeError("exchange.not-utf-8", file=name, line=line) from None
    try:
        return read_plan(text)
    except RecordError as error:
        at_line = error.id == "records.at-line"
        which = "exchange.plan-at-line" if at_line else "records.in-file"
        raise ExchangeError(which, file=name, why=error) from None


def write_plan_file(plan: Plan, path: str | Path) -> None:
    """Write a plan as TOML; a file that is there is written over.

    Raises
    ------
    ExchangeError
        When the file cannot be written.
    """
    try:
        Path(path).write_text(write_plan(plan), encoding="utf-8", newline="\n")
    except OSError as error:
        raise ExchangeError("exchange.not-written", file=_called(path), why=error) from None


def coming(journal: Journal, plan: Plan) -> IncomingPlan:
    """What importing a plan would do: nothing, add it, or make it the next version."""
    known = _known(journal, plan.name)
    if known is None:
        return IncomingPlan(plan, None, same=False)
    if _says(known) == _says(plan):
        return IncomingPlan(known, known, same=True)
    return IncomingPlan(replace(plan, version=known.version + 1), known, same=False)


def bring_in(journal: Journal, found: IncomingPlan) -> Plan:
    """Save a plan that came as a file; one that says the same as the known one stays as it is."""
    if found.same and found.known is not None:
        return found.known
    plan = found.plan
    if plan.uuid in {one.uuid for one in builtin_plans()}:
        plan = replace(plan, uuid=new_uuid())
    try:
        return journal.plans.save(plan)
    except KeepingError:
        # Its identity may belong to a plan in the bin, or to one that was given another name.
        return journal.plans.save(replace(plan, uuid=new_uuid()))


def newer_builtin(journal: Journal, name: str, along: Sequence[Plan]) -> Plan | None:
    """The built-in plan of that name, where the journal still has it as an
    earlier Vatside brought it; None where it says the same or was changed by hand."""
    if name not in journal.plans.names():
        return None
    kept = journal.plans.by_name(name)
    came = next((plan for plan in along if plan.name == name), None)
    return came if came is not None and kept.builtin and _says(came) != _says(kept) else None


def _known(journal: Journal, name: str) -> Plan | None:
    """The latest of that name in the journal, else the built-in one."""
    if name in journal.plans.names():
        return journal.plans.by_name(name)
    return next((plan for plan in builtin_plans() if plan.name == name), None)


def _says(plan: Plan) -> Plan:
    """A plan without what belongs to where it is saved."""
    return replace(plan, id=None, uuid="", version=1, builtin=False)


def _called(path: str | Path) -> str:
    return f"“{Path(path).name}”"

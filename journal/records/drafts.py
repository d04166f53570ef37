"""A plan being written: rows that may be half said, and every step of the writing taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from journal.records import RecordError
from journal.records.care_typed import Ending, ending
from journal.records.care_written import CareLine, care_fields, care_lines
from journal.records.plan_scaled import stage_alike
from journal.records.plans import Plan, Stage

COLUMNS = ("stage", "temp", "minutes", "what", "do", "until")
UNNAMED = "new plan"
HOLDER = (Stage("warm", 30),)  # stands for the stages in a draft's head
# A beginning to change, by kind: common practice, no source.
USUAL_MIN: dict[str, float] = {
    "warm": 30, "pasteurise": 45, "cool": 30, "ripen": 45, "set": 40, "cut": 10, "heal": 5,
    "stir": 20, "wash": 15, "cook": 35, "scald": 30, "stretch": 20, "churn": 30, "pitch": 10,
    "drain": 15, "cheddar": 90, "mill": 10, "salt": 15, "mould": 15, "press": 720,
    "brine": 720, "dry": 1440, "smoke": 120,
}  # fmt: skip


@dataclass(frozen=True)
class DraftRow:
    """A line of the draft: the stage as far as it is understood (None: not yet), and `loose`, the
    text of cells that say nothing that can be understood, by column."""

    stage: Stage | None = None
    loose: Mapping[str, str] = field(default_factory=dict)

    def with_stage(self, stage: Stage, column: str) -> DraftRow:
        """The row with the stage a cell was understood as."""
        return DraftRow(stage, {c: t for c, t in self.loose.items() if c != column})

    def with_loose(self, column: str, text: str) -> DraftRow:
        """The row with a text that was not understood."""
        return DraftRow(self.stage, {**self.loose, column: text})

    @property
    def blank(self) -> bool:
        """Nothing was entered here yet."""
        return self.stage is None and not any(self.loose.values())


@dataclass(frozen=True)
class CareRow:
    """A line of care in the draft, as `DraftRow` is one of the stages."""

    line: CareLine | None = None
    loose: Mapping[str, str] = field(default_factory=dict)

    @property
    def blank(self) -> bool:
        """Nothing was entered here yet."""
        return self.line is None and not any(self.loose.values())


@dataclass(frozen=True)
class PlanDraft:
    """A plan being written.

    `head` holds everything but the stages and the care (its own are not looked at); `rows` are the
    stages, and `care` goes on where they end: a row from len(rows) on is one of care. `name` is
    what it will be called. `from_version` is the version it began from (0: from nothing) and
    `from_make` the code of the make whose plan it was. `head_loose` is the milk's line as typed,
    not understood.
    """

    name: str
    head: Plan
    rows: tuple[DraftRow, ...] = ()
    care: tuple[CareRow, ...] = ()
    from_name: str = ""
    from_version: int = 0
    from_make: str = ""
    head_loose: Mapping[str, str] = field(default_factory=dict)

    def plan(self) -> Plan | None:
        """The plan as far as it is understood, None while it has no stage."""
        stages = tuple(row.stage for row in self.rows if row.stage is not None)
        if not stages:
            return None
        care = care_fields(self.care_lines())
        return replace(
            self.head, name=self.name.strip() or UNNAMED, stages=stages,
            **care._asdict(),
        )  # fmt: skip

    def care_lines(self) -> list[CareLine]:
        """The lines of care that are understood."""
        return [row.line for row in self.care if row.line is not None]

    def care_before(self, at: int) -> Ending:
        """When care in that row begins, where it names no day: at the end of what stands before."""
        plan = self.plan() or self.head
        day = plan.care_from_day
        above = self.care[: max(0, at - len(self.rows))]
        return ending([row.line for row in above if row.line is not None], Ending(day, day))

    def finished(self) -> Plan:
        """The plan, ready to be kept.

        Raises
        ------
        RecordError
            With the first thing that is missing or not understood.
        """
        if not self.name.strip():
            raise RecordError("records.draft-without-name")
        for text in self.head_loose.values():
            raise RecordError("records.draft-milk-line", text=text)
        rows: list[DraftRow | CareRow] = [*self.rows, *self.care]
        for number, row in enumerate(rows, 1):
            text = next((t for t in row.loose.values() if t.strip()), "")
            if text:
                raise RecordError("records.draft-line", text=text, line=number)
        plan = self.plan()
        if plan is None:
            raise RecordError("records.draft-without-stage")
        return plan

    def stage_index(self, row: int) -> int:
        """The index in the plan of a row's stage, -1 for a row without one."""
        if not 0 <= row < len(self.rows) or self.rows[row].stage is None:
            return -1
        return sum(r.stage is not None for r in self.rows[:row])

    def row_of(self, index: int) -> int:
        """The row that holds the stage of that index in the plan, -1 when there is none."""
        rows = [i for i, row in enumerate(self.rows) if row.stage is not None]
        return rows[index] if 0 <= index < len(rows) else -1

    # Changes, each a new draft

    def with_row(self, at: int, row: DraftRow) -> PlanDraft:
        """The draft with another row at that index."""
        return replace(self, rows=(*self.rows[:at], row, *self.rows[at + 1 :]))

    def care_at(self, row: int) -> int:
        """The index among the care of a row; -1 for one of the milk or the stages."""
        return row - len(self.rows) if row >= len(self.rows) else -1

    def with_care(self, at: int, rows: Sequence[CareRow], *, instead: int = 1) -> PlanDraft:
        """The draft with lines of care at an index among them, instead of so many that stand
        there."""
        return replace(self, care=(*self.care[:at], *rows, *self.care[at + instead :]))

    def insert(self, at: int, row: DraftRow | None = None) -> PlanDraft:
        """The draft with a row, blank when none is given, before the one at `at`."""
        if at > len(self.rows):
            return self.with_care(at - len(self.rows), [CareRow()], instead=0)
        at = min(max(at, 0), len(self.rows))
        return replace(self, rows=(*self.rows[:at], row or DraftRow(), *self.rows[at:]))

    def duplicate(self, at: int) -> PlanDraft:
        """The draft with a row said twice."""
        index = self.care_at(at)
        if 0 <= index < len(self.care):
            return self.with_care(index + 1, [self.care[index]], instead=0)
        return self.insert(at + 1, self.rows[at]) if 0 <= at < len(self.rows) else self

    def remove(self, at: int) -> PlanDraft:
        """The draft without a row."""
        if self.care_at(at) >= 0:
            return self.with_care(self.care_at(at), ())
        return replace(self, rows=(*self.rows[:at], *self.rows[at + 1 :]))

    def move(self, at: int, by: int) -> PlanDraft:
        """The draft with a row further down (up below zero), as far as there are rows of stages, or
        of care."""
        index = self.care_at(at)
        if index >= 0:
            return replace(self, care=_moved(self.care, index, by))
        return replace(self, rows=_moved(self.rows, at, by))

    def with_head(self, **changed: Any) -> PlanDraft:
        """The draft with other words about its milk, its mould, its yield and so on; its brine
        follows the wheel."""
        head = replace(self.head, **changed)
        rows = tuple(
            row
            if row.stage is None
            else replace(row, stage=stage_alike(row.stage, self.head, head))
            for row in self.rows
        )
        return replace(self, head=head, rows=rows)

    def without_blanks(self) -> PlanDraft:
        """The draft without rows that say nothing."""
        return replace(
            self,
            rows=tuple(row for row in self.rows if not row.blank),
            care=tuple(row for row in self.care if not row.blank),
        )


_Line = TypeVar("_Line")


def _moved(rows: tuple[_Line, ...], at: int, by: int) -> tuple[_Line, ...]:
    """The lines with one further down, or up; as they are where it cannot go on."""
    to = min(max(at + by, 0), len(rows) - 1)
    if not 0 <= at < len(rows) or to == at:
        return rows
    rest = (*rows[:at], *rows[at + 1 :])
    return (*rest[:to], rows[at], *rest[to:])


def draft_of(plan: Plan, *, from_make: str = "") -> PlanDraft:
    """A draft that says what `plan` says; `from_version` 0 where the plan was never kept."""
    return PlanDraft(
        plan.name,
        without_care(replace(plan, stages=HOLDER)),
        tuple(DraftRow(stage) for stage in plan.stages),
        care_rows(care_lines(plan)),
        from_name=plan.name,
        from_version=plan.version,
        from_make=from_make,
    )


def care_rows(lines: Iterable[CareLine]) -> tuple[CareRow, ...]:
    """Lines of care as rows of a draft."""
    return tuple(CareRow(line) for line in lines)


def without_care(head: Plan) -> Plan:
    """The head of a draft: its care stands in rows."""
    return replace(head, **care_fields(())._asdict())


def new_draft(caution: str) -> PlanDraft:
    """A plan from nothing: cow's milk, pasteurised, one blank line and the caution it begins
    with."""
    head = Plan(UNNAMED, HOLDER, caution=caution)
    return PlanDraft("", head, (DraftRow(),))


@dataclass(frozen=True)
class DraftState:
    """A state of the draft and the name of what led to it."""

    name: str
    draft: PlanDraft


class Writing:
    """A draft with all its steps: `do` adds one, `undo` and `redo` walk them.

    `begun` counts it as a draft even where nothing was changed in it yet.
    """

    def __init__(self, draft: PlanDraft, *, begun: bool = False) -> None:
        self.first = draft
        self.begun = begun
        self._done: list[DraftState] = [DraftState("", draft)]
        self._undone: list[DraftState] = []

    @property
    def draft(self) -> PlanDraft:
        """The draft as it stands."""
        return self._done[-1].draft

    @property
    def undo_name(self) -> str | None:
        """What undo would take back, None for nothing."""
        return self._done[-1].name if len(self._done) > 1 else None

    @property
    def redo_name(self) -> str | None:
        """What redo would bring back, None for nothing."""
        return self._undone[-1].name if self._undone else None

    def do(self, name: str, draft: PlanDraft) -> bool:
        """Take a step; one that changes nothing is none (False)."""
        if draft == self.draft:
            return False
        self._done.append(DraftState(name, draft))
        self._undone.clear()
        return True

    def undo(self) -> str | None:
        """Take the last step back; returns its name."""
        if len(self._done) < 2:
            return None
        self._undone.append(self._done.pop())
        return self._undone[-1].name

    def redo(self) -> str | None:
        """Take the step again that was taken back last; returns its name."""
        if not self._undone:
            return None
        self._done.append(self._undone.pop())
        return self._done[-1].name

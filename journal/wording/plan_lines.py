"""A draft as the lines of its table: the milk first, then each stage, unfinished ones too."""

from __future__ import annotations

import re
from dataclasses import dataclass

from journal.quantities.units import stored_unit
from journal.records.care_written import AgeLine, CareLine, care_cell_text
from journal.records.drafts import COLUMNS, CareRow, DraftRow, PlanDraft
from journal.records.plan_scaled import stage_for_milk
from journal.records.plans import Plan
from journal.records.stage_written import CellPart, cell_text, milk_parts, stage_parts, temp_text
from journal.wording import worded
from journal.wording.care import care_line_words
from journal.wording.durations import minutes_text
from journal.wording.plan_sheet import to_add
from journal.wording.shown import in_shown_units, shown_figure, shown_unit, unit_label

MILK = -1  # the row of the milk's line
CELLS = COLUMNS[:4]
_TITLES = ("wording.title-stage", "wording.title-minutes", "wording.title-add-check")
_CARE_TITLES = ("wording.title-care", "wording.title-when", "wording.title-note")
_BARE = re.compile(r"\s*[-−+]?[0-9][0-9.,]*\s*$")


def titles(*, care: bool = False) -> tuple[str, ...]:
    """The titles of the columns, the unit that temperatures are shown in among them."""
    first, *others = (worded(one) for one in (_CARE_TITLES if care else _TITLES))
    return (first, unit_label("temperature"), *others)


def with_unit_shown(column: str, text: str) -> str:
    """What was typed in a cell, a bare number with the unit the column is headed by."""
    if column == "temp" and _BARE.match(text):
        unit = shown_unit("temperature")
        if unit.key != stored_unit("temperature").key:
            return f"{text.strip()} {unit.label}"
    return text


def with_stored_parts(draft: PlanDraft, row: int, text: str, litres: float) -> str:
    """What was typed about what goes in, each part that nobody typed over as it is stored: it stays
    exact, whatever unit it was shown in."""
    written = {in_shown_units(part.text): part.text for part in _parts(draft, row, litres)}
    return "; ".join(written.get(part.strip(), part) for part in text.split(";"))


def _parts(draft: PlanDraft, row: int, litres: float) -> list[CellPart]:
    """What is added and checked, part by part."""
    plan = draft.plan() or draft.head
    if row == MILK:
        return milk_parts(plan)
    stage = None if draft.care_at(row) >= 0 else draft.rows[row].stage
    return [] if stage is None else stage_parts(plan, stage, litres)


def _what(parts: list[CellPart]) -> str:
    return "; ".join(in_shown_units(part.text) for part in parts)


def _temp(celsius: float | None) -> str:
    """A temperature's cell, in the unit that is shown."""
    return "" if celsius is None else shown_figure(celsius, "temperature", 1)


@dataclass(frozen=True)
class SheetLine:
    """One line as text. `row` is the draft's row (-1: the milk), `index` that of the stage in the
    plan (-1: none yet, or a line of care); `loose` names the cells that are not understood, `fault`
    marks a stage that cannot work. A line of care has `care`, the first of them `opens`, and `full`
    is what it says as a sentence."""

    row: int
    index: int
    label: str
    temp: str
    minutes: str
    words: str
    loose: frozenset[str] = frozenset()
    fault: bool = False
    care: bool = False
    opens: bool = False
    full: str = ""

    def cell(self, column: str) -> str:
        """The text of a column."""
        return dict(zip(CELLS, (self.label, self.temp, self.minutes, self.words), strict=True))[
            column
        ]


def lines_of(draft: PlanDraft, litres: float, faulty: frozenset[int]) -> list[SheetLine]:
    """Every line of a draft for so much milk; `faulty` are the indices of stages at fault."""
    plan = draft.plan() or draft.head
    out = [_milk_line(draft, plan)]
    index = -1
    for number, row in enumerate(draft.rows):
        index += row.stage is not None
        out.append(_line(plan, row, number, index, litres, index in faulty))
    for at, care in enumerate(draft.care):
        out.append(_care_line(care, len(draft.rows) + at, opens=at == 0))
    return out


def typed_text(draft: PlanDraft, row: int, column: str, litres: float) -> str:
    """The text of a cell to edit: what was not understood, else what it says."""
    if draft.care_at(row) >= 0:
        care = draft.care[draft.care_at(row)]
        text = "" if care.line is None else _care_cell(care.line, column)
        return care.loose.get(column, text)
    loose = draft.head_loose if row == MILK else draft.rows[row].loose
    if column in loose and column != "what":
        return loose[column]
    plan = draft.plan() or draft.head
    if row == MILK:
        return _and(_milk_text(plan, column), loose.get(column, ""))
    stage = draft.rows[row].stage
    if column == "temp" and stage is not None and _other_unit():
        return _and(_temp(stage.target_c), loose.get(column, ""))
    words = "" if stage is None else cell_text(plan, stage, column, litres)
    if column == "what":
        words = _what(_parts(draft, row, litres))
    return _and(words, loose.get(column, ""))


def _other_unit() -> bool:
    """Temperatures are shown in another unit than they are kept in."""
    return shown_unit("temperature").key != stored_unit("temperature").key


def _care_cell(line: CareLine, column: str) -> str:
    if column == "temp" and _other_unit() and not isinstance(line, AgeLine):
        return _temp(line.room_c)
    return care_cell_text(line, column)


def _care_line(row: CareRow, number: int, *, opens: bool) -> SheetLine:
    line, loose = row.line, row.loose
    label, temp, when, note = (
        loose.get(column, "" if line is None else _care_cell(line, column)) for column in CELLS
    )
    marked = frozenset(column for column, text in loose.items() if text.strip())
    full = "" if line is None else care_line_words(line)
    return SheetLine(number, -1, label, temp, when, note, marked, care=True, opens=opens, full=full)


def _milk_text(plan: Plan, column: str) -> str:
    if column == "temp":
        return _temp(plan.milk_c) if _other_unit() else temp_text(plan.milk_c)
    return _what(milk_parts(plan)) if column == "what" else ""


def _and(words: str, loose: str) -> str:
    """What a cell says, and behind it what of it is not understood."""
    return "; ".join(part for part in (words, loose) if part)


def _milk_line(draft: PlanDraft, plan: Plan) -> SheetLine:
    loose = draft.head_loose
    return SheetLine(
        MILK,
        -1,
        worded("reckoning.milk"),
        loose.get("temp", _temp(draft.head.milk_c)),
        "",
        _and(_milk_text(plan, "what"), loose.get("what", "")),
        frozenset(loose),
    )


def _line(
    plan: Plan, row: DraftRow, number: int, index: int, litres: float, fault: bool
) -> SheetLine:
    stage, loose = row.stage, row.loose
    marked = frozenset(column for column, text in loose.items() if text.strip())
    if stage is None:
        label, temp, minutes, what = (loose.get(column, "") for column in CELLS)
        return SheetLine(number, -1, label, temp, minutes, what, marked)
    stage = stage_for_milk(plan, stage, litres)
    temp = _temp(stage.target_c)
    return SheetLine(
        number,
        index,
        loose.get("stage", stage.label),
        loose.get("temp", temp),
        loose.get("minutes", minutes_text(stage.minutes)),
        _and(to_add(plan, stage, litres), loose.get("what", "")),
        marked,
        fault,
    )

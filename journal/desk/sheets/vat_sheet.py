"""The make sheet: a plan for its milk on one or two pages, to fill with a pencil at the vat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from journal.curves.day_scene import plan_scene
from journal.desk.sheets.afterwards import after_blocks
from journal.desk.sheets.boxes import Blank, blank_grid, tick_list, title_block
from journal.desk.sheets.curve import CurvePicture, curve_block
from journal.desk.sheets.flow import Block, best_pages, print_pages
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import (
    PENCIL,
    PaperColumn,
    head_row,
    heading,
    kept_together,
    paragraph,
    row,
    ruled_space,
    shared,
)
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.doses import doses_of_make
from journal.wording.durations import minutes_text
from journal.wording.hours import hours_for
from journal.wording.letters import capital
from journal.wording.paper_stage import (
    PlanStart,
    Words,
    acid_title,
    dose_blank,
    plan_facts,
    stage_target_words,
    stage_words,
)
from journal.wording.plan_sheet import MILK_KG_PER_L, acid_target_sentence, vat_minutes
from journal.wording.shown import temperature, unit_label, write

_MADE_FOR = 8.5  # points that the columns' widths are for
_STAGE = 0  # the column that takes what the page leaves
_WHEELS = 6
_BELOW_C = 6.0  # shown below the lowest target
# Usual hygiene of a kitchen that makes cheese: common practice, no source.
_BEFORE = (
    "Vat, tools, moulds, cloths and press cleaned, rinsed and sanitised",
    "Hands washed; nobody helps who is ill or has an open cut",
    "Thermometer in melting ice ({ice}) reads ______",
    "Culture and rennet in date and stored as their packets say",
    "Helpers and guests asked about allergies",
)
_PH_CHECK = "pH meter in buffer 7 reads ______, in buffer 4 ______"
_ACID_CHECK = "Titration: solution fresh, the blank done"
_TO_READ = (
    "Dashed: the plan; dotted: the allowed range. Mark your readings. In grey stages you are "
    "needed, in the open ones you can leave."
)
_BOXES = "Dashed boxes: acid targets (pH)."
_NO_CAUTION = (
    "Raw milk, slow acid, and soft or mould-ripened cheese can make people ill. Follow your "
    "local codes, and ask a licensed maker if in doubt. Hot vessels and a loaded press can "
    "hurt you."
)
_RAW = "Raw milk can carry germs that make people ill; ageing does not prove it safe."


@dataclass(frozen=True)
class _SheetStyle:
    """How close all stands: the type in points, the curve's share of its usual height, boxes for
    lots beside each other, what a stage says as one paragraph, lines and margins close."""

    points: float
    curve: float = 0.8
    across: int = 3
    joined: bool = False
    close: bool = False


_LOOKS = (  # from roomy to close: the first that keeps to two pages is taken
    _SheetStyle(10.0, 1.0),
    _SheetStyle(9.5),
    _SheetStyle(9.0),
    _SheetStyle(9.0, 0.7, 4),
    _SheetStyle(9.0, 0.7, 4, close=True),
    _SheetStyle(9.0, 0.7, 4, joined=True, close=True),
    _SheetStyle(9.0, 0.55, 4, joined=True, close=True),
)


def make_sheet(
    plan: Plan,
    path: str | Path,
    *,
    paper: str = "A4",
    start_ms: int | None = None,
    zone: str = "UTC",
) -> int:
    """Write the make sheet of a plan, for the plan's own milk, as a PDF.

    Parameters
    ----------
    plan
        Scaled to the milk there is (`plan.for_milk`).
    path
        The file to write; one that is there is written over.
    paper
        "A4" or "Letter".
    start_ms, zone
        When the first stage begins, so that each stage gets its time of day; without it stages
        are timed from the start.

    Returns
    -------
    int
        How many pages: one or two, more only where a plan says more than two can hold.

    Raises
    ------
    SheetError
        When there is no such paper.
    OSError
        When the file cannot be written.
    """
    sheet = Paper(paper, worded("desk.make-sheet-of", name=plan.name, version=plan.version))
    drawn = _Sheet(sheet, plan, PlanStart(start_ms, zone))
    foot = worded("desk.make-sheet-pdf-title", name=plan.name, version=plan.version)
    return print_pages(sheet, best_pages(sheet, drawn.blocks, _LOOKS), path, foot)


class _Sheet:
    """The blocks of one make sheet."""

    def __init__(self, paper: Paper, plan: Plan, begun: PlanStart) -> None:
        self.paper, self.plan, self.begun = paper, plan, begun

    def blocks(self, look: _SheetStyle) -> list[Block]:
        """Everything, in the order it stands."""
        paper, plan, points = self.paper, self.plan, look.points
        paper.set_close(look.close)
        return [
            title_block(
                paper, "Make sheet", capital(plan.name), plan_facts(self.plan, self.begun), points
            ),
            *self._blanks(points, look.across),
            *self._before(points),
            paragraph(paper, _caution(plan), points - 0.5, mark=True, after=1.5),
            *self._stages(points, look.joined),
            curve_block(paper, self._curve(), look.curve),
            *self._wheels(points),
            *after_blocks(paper, plan, points),
            ruled_space(paper, "Notes", points + 1, least=3.0 + 2 * PENCIL),
        ]

    def _blanks(self, points: float, across: int) -> list[Block]:
        plan = self.plan
        head = [
            Blank("date"),
            Blank("make"),
            Blank("who"),
            Blank(worded("desk.milk-at", unit=unit_label("temperature"))),
        ]
        milk = Blank(worded("desk.milk-to-note", animal=plan.animal, treatment=plan.treatment),
                     write(plan.milk_l, "volume"), "from, milked on, fat")  # fmt: skip
        doses = [Blank(total.dose.name, dose_blank(ones), "lot, use by")
                 for total, ones in doses_of_make(plan, plan.milk_l)]  # fmt: skip
        return [
            blank_grid(self.paper, head, 4, points),
            blank_grid(self.paper, [milk, *doses], across, points),
        ]

    def _before(self, points: float) -> list[Block]:
        kinds = {s.acid_target.kind for s in self.plan.stages if s.acid_target is not None}
        checks = [line.format(ice=temperature(0.0)) for line in _BEFORE]
        if any(kind.endswith("-ph") for kind in kinds):
            checks.insert(3, _PH_CHECK)
        if any(kind.endswith("-acidity") for kind in kinds):
            checks.insert(3, _ACID_CHECK)
        return [
            heading(self.paper, "Before you start", points + 1, before=2.5),
            tick_list(self.paper, checks, 2, points),
        ]

    def _stages(self, points: float, joined: bool) -> list[Block]:
        paper, plan = self.paper, self.plan
        part = points / _MADE_FOR  # printed columns follow the type, the pencil's do not
        columns = shared(
            paper,
            [
                PaperColumn("stage: add, check", 0),
                PaperColumn(unit_label("temperature"), 24 * part, right=True),
                PaperColumn("min", 13 * part, right=True),
                PaperColumn(self.begun.title, 22 * part, right=True),
                PaperColumn("time", 13, pencil=True),
                PaperColumn(unit_label("temperature"), 11.5, pencil=True),
                PaperColumn(acid_title(plan), 11.5, pencil=True),
                PaperColumn("notes", 21, pencil=True),
            ],
            _STAGE,
        )
        head = head_row(paper, columns, points)
        rows = [
            row(paper, columns, [
                [Words(lead=f"{index + 1}  {stage.label}")], stage_target_words(stage),
                minutes_text(stage.minutes), [Words(lead=self.begun.at(start))], "", "", "", "",
            ], points, head=head, least=1.45 * PENCIL,
                under=stage_words(plan, index, self.begun, joined=joined))
            for index, (stage, start) in enumerate(zip(plan.stages, plan.starts(), strict=True))
        ]  # fmt: skip
        return [head, *kept_together(rows)]

    def _curve(self) -> CurvePicture:
        plan = self.plan
        hours = hours_for(vat_minutes(plan), plan.minutes, self.begun.start_ms, self.begun.zone)
        scene = plan_scene(plan)
        with_acid = not scene.acid_targets or bool(scene.ph_targets())
        return CurvePicture(
            "The planned curve", hours, scene, self._remarks(), with_acid, self._floor()
        )

    def _floor(self) -> float | None:
        """From where on temperatures are shown, where the milk comes much colder than it is
        worked: the scale is for what is read at the vat."""
        targets = [s.target_c for s in self.plan.stages if s.target_c is not None]
        low = min(targets, default=self.plan.milk_c) - _BELOW_C
        return low if self.plan.milk_c < low else None

    def _remarks(self) -> tuple[str, ...]:
        """How to read the curve, and the acid targets that have no place on a pH scale."""
        notes = [_TO_READ]
        acid_targets = [
            (i, s, s.acid_target)
            for i, s in enumerate(self.plan.stages, 1)
            if s.acid_target is not None
        ]
        if any(acid_target.kind.endswith("-ph") for *_, acid_target in acid_targets):
            notes.append(_BOXES)
        if self._floor() is not None:
            notes.append(worded("desk.milk-below-scale", milk=temperature(self.plan.milk_c)))
        others = [
            f"{number} {stage.label}: {acid_target_sentence(acid_target)}"
            for number, stage, acid_target in acid_targets
            if not acid_target.kind.endswith("-ph")
        ]
        message = " ".join(notes)
        return (message, worded("desk.by-titration", others=others)) if others else (message,)

    def _wheels(self, points: float) -> list[Block]:
        plan = self.plan
        expected = plan.milk_l * MILK_KG_PER_L * plan.yield_pct / 100
        message = write(expected, "mass", digits=2 if expected < 10 else 1)
        blanks = [Blank(chr(ord("A") + i), "", unit_label("mass")) for i in range(_WHEELS)]
        return [
            heading(self.paper, worded("desk.green-weights", weight=message), points + 1),
            blank_grid(self.paper, blanks, _WHEELS, points),
        ]


def _caution(plan: Plan) -> str:
    parts: Sequence[str] = [plan.caution.strip() or _NO_CAUTION]
    if plan.treatment == "raw" and "raw milk" not in plan.caution.lower():
        parts = [*parts, _RAW]
    return " ".join(parts)

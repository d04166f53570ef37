"""The record of a make: what was planned, what happened, what became of its wheels."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from journal.curves.day import last_reading_min
from journal.curves.day_scene import FEW_POINTS, make_scene
from journal.curves.deviation import deviation
from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.curve import CurvePicture, curve_block
from journal.desk.sheets.flow import Block, best_pages, print_pages
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.photos import PrintedPhoto, photo_blocks
from journal.desk.sheets.profiles import profile_blocks
from journal.desk.sheets.table import (
    PaperColumn,
    gap,
    head_row,
    heading,
    kept_together,
    paragraph,
    row,
    shared,
)
from journal.records.whole import WholeMake
from journal.reports.profile import Profile
from journal.wording import worded
from journal.wording.hours import hours_for
from journal.wording.makes import note_lines, score_lines, strayed_words
from journal.wording.outcomes import outcome_lines
from journal.wording.paper_record import (
    defect_words,
    month_rows,
    reading_rows,
    record_facts,
    stage_cells,
    wheel_rows,
)
from journal.wording.paper_stage import Cell
from journal.wording.plan_sheet import vat_minutes
from journal.wording.sentences import word_of
from journal.wording.shown import unit_label

SIZES = (9.5, 9.0)  # points, the largest that fits is taken
SHARES = (1.0, 0.9, 0.8, 0.7, 0.6)  # of the curve's usual height
LENGTH_WIDE = 17  # mm, for "23 h 44" on one line


def make_record(
    whole: WholeMake, path: str | Path, *, paper: str = "A4",
    photos: Sequence[PrintedPhoto] = (), profiles: Sequence[Profile] = (),
) -> int:  # fmt: skip
    """Write the record of a make as a PDF.

    Parameters
    ----------
    whole
        The make with everything that hangs on it. One still running is said to be so.
    path
        The file to write; one that is there is written over.
    paper
        "A4" or "Letter".
    photos
        Those to stand at its end, two beside each other.
    profiles
        What the attributes of its wheels got, a picture each.

    Returns
    -------
    int
        How many pages: as few as 9 points allow.

    Raises
    ------
    SheetError
        When there is no such paper.
    OSError
        When the file cannot be written.
    """
    sheet = Paper(paper, worded("desk.record-of", code=whole.make.code))
    foot = worded(
        "desk.record-pdf-title", code=whole.make.code, name=whole.make.name or whole.plan.name
    )
    return print_pages(
        sheet, best_pages(sheet, _Record(sheet, whole, photos, profiles).blocks, SIZES), path, foot
    )


class _Record:
    """The blocks of one record."""

    def __init__(
        self, paper: Paper, whole: WholeMake, photos: Sequence[PrintedPhoto] = (),
        profiles: Sequence[Profile] = (),
    ) -> None:  # fmt: skip
        self.paper, self.whole, self.photos, self.profiles = paper, whole, photos, profiles
        running = whole.make.finished_ms is None
        self.now = last_reading_min(whole) if running else None
        self.found = deviation(whole, "day", self.now)
        self.scene = make_scene(whole, self.now)

    def blocks(self, points: float) -> list[Block]:
        """Everything, in the order it stands, at a size of type."""
        whole, paper = self.whole, self.paper
        name = whole.make.name or whole.plan.name
        title = title_block(paper, "Record of a make", f"{whole.make.code}  {name}",
                            record_facts(self.whole), points, failed=whole.make.failed)  # fmt: skip
        above = [
            title,
            *(paragraph(paper, line, points, mark=True) for line in outcome_lines(whole)),
            *(paragraph(paper, line, points) for line in score_lines(whole)),
            paragraph(paper, strayed_words(whole, self.found), points),
        ]
        return [
            *self._with_curve(above, self._stages(points)),
            *self._readings(points),
            *self._notes(points),
            *self._wheels(points),
            *profile_blocks(self.paper, self.profiles, points),
            *photo_blocks(self.paper, self.photos, points),
        ]

    def _with_curve(self, above: list[Block], stages: list[Block]) -> list[Block]:
        """The stages and the curve under them, as large as its page has room for; where there is
        too little, the curve comes first and the stages run on overleaf."""
        used = sum(block.height for block in (*above, *stages))
        room = self.paper.bottom - self.paper.top - used
        for share in SHARES:
            curve = curve_block(self.paper, self._curve(), share)
            if curve.height <= room:
                return [*above, *stages, curve]
        return [*above, curve_block(self.paper, self._curve()), *stages]

    def _stages(self, points: float) -> list[Block]:
        columns = [
            PaperColumn("stage", 27),
            PaperColumn("planned", 16.5, right=True),
            PaperColumn("began", 15, right=True),
            PaperColumn("delay, min", 13, right=True),
            PaperColumn("min planned", LENGTH_WIDE, right=True),
            PaperColumn("min taken", LENGTH_WIDE, right=True),
            PaperColumn(
                worded("desk.planned-in", unit=unit_label("temperature")), 16.5, right=True
            ),
            PaperColumn(worded("desk.read-in", unit=unit_label("temperature")), 25, right=True),
            PaperColumn("acidity; added", 0),
        ]
        cells = [stage_cells(self.whole, index) for index in range(len(self.whole.plan.stages))]
        return [heading(self.paper, "The day", points + 1, before=2.5),
                *self._table(columns, 8, cells, points)]  # fmt: skip

    def _readings(self, points: float) -> list[Block]:
        cells = reading_rows(self.whole)
        if not cells:
            return [paragraph(self.paper, "No readings.", points)]
        titles = ("readings", "first", "last", "lowest", "highest")
        columns = [
            PaperColumn("read", 0),
            *(PaperColumn(title, 30, right=True) for title in titles),
        ]
        return [heading(self.paper, "Readings", points + 1, before=2.5),
                *self._table(columns, 0, cells, points)]  # fmt: skip

    def _notes(self, points: float) -> list[Block]:
        lines = note_lines(self.whole)
        if not lines:
            return []
        head = heading(self.paper, "Notes", points + 1, before=2.5)
        return [head, *(paragraph(self.paper, line, points) for line in lines)]

    def _wheels(self, points: float) -> list[Block]:
        whole, paper = self.whole, self.paper
        if not whole.wheels:
            message = "No wheels yet." if whole.make.finished_ms is None else "No wheels."
            return [heading(paper, "Wheels", points + 1, before=2.5),
                    paragraph(paper, message, points)]  # fmt: skip
        columns = [PaperColumn("wheel", 27), PaperColumn("green", 20, right=True),
                   PaperColumn("last weighed", 45, right=True), PaperColumn("lost", 18, right=True),
                   PaperColumn("gone, remark", 0)]  # fmt: skip
        out = [heading(paper, "Wheels", points + 1, before=2.5),
               *self._table(columns, 4, wheel_rows(whole), points)]  # fmt: skip
        cells = month_rows(whole)
        if cells:
            columns = [
                PaperColumn("age", 27),
                PaperColumn("care, times", 48),
                PaperColumn(worded("desk.weight-column", unit=unit_label("mass")), 36),
                PaperColumn("scores, means", 0),
            ]
            out += [
                heading(paper, "Later care and scores", points + 1, before=2.5),
                *self._table(columns, 3, cells, points),
            ]
        if whole.defects:
            message = worded("desk.defects-are", defects=defect_words(whole.defects))
            out += [gap(1.5), paragraph(paper, message, points)]
        return out

    def _table(
        self, columns: list[PaperColumn], stretch: int, cells: list[list[Cell]], points: float
    ) -> list[Block]:
        wide = shared(self.paper, columns, stretch)
        head = head_row(self.paper, wide, points)
        rows = [row(self.paper, wide, one, points, head=head) for one in cells]
        return [head, *kept_together(rows)]

    # The curve

    def _curve(self) -> CurvePicture:
        whole = self.whole
        scene = self.scene
        end = scene.stages[-1].last
        hours = hours_for(
            self._vat_end(end), max(end, self.now or 0.0), whole.make.started_ms, whole.make.zone
        )
        with_acid = bool(scene.ph_targets() or scene.acid)
        return CurvePicture("The plan and what was read", hours, scene, self._remarks(), with_acid)

    def _vat_end(self, end: float) -> float:
        """When the day at the vat was really over: where the plan's is, on the real clock."""
        planned = vat_minutes(self.whole.plan)
        starts = self.whole.plan.starts()
        bars = zip(self.scene.stages, starts, strict=False)
        return next((bar.first for bar, start in bars if start >= planned), end)

    def _remarks(self) -> tuple[str, ...]:
        notes = ["Dashed: the plan, each stage moved to its real start; dotted: the allowed "
                "range. Solid: readings."]  # fmt: skip
        marked = [one for one in self.scene.acid if len(one.minutes) <= FEW_POINTS]
        for which, hollow in (("desk.filled-dots-of", False), ("desk.open-dots-of", True)):
            kinds = [word_of("desk.read-in-", one.kind) for one in marked if one.hollow == hollow]
            notes += [worded(which, kinds=kinds)] if kinds else []
        lines = [word_of("desk.read-in-", one.kind) for one in self.scene.acid if one not in marked]
        notes += [worded("desk.solid-lines-of", kinds=lines)] if lines else []
        notes += ["Dashed boxes: acid targets (pH)."] if self.scene.ph_targets() else []
        return (" ".join(notes),)

"""The findings on paper: two pages of words and pictures, for the binder beside the vat."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path

from journal.desk.charts.marks import MarkScale, Scene
from journal.desk.findings.ranges import effect_marks, span_of
from journal.desk.findings.scatter import draw_scatter, scatter_ranges
from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.flow import WANTED_PAGES, Block, best_pages, print_pages
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.plot import PaperBox, PaperPlot
from journal.desk.sheets.table import gap, heading, paragraph
from journal.findings import CLEAR, LEANING, NEVER, UNKNOWN, Finding, Scatter
from journal.findings.answer import StudyAnswer
from journal.findings.evidence import HARDLY
from journal.wording import text_of, worded
from journal.wording.effects import (
    SURE,
    axis_words,
    fit_notes,
    footnotes,
    looked_words,
    scatter_shown,
    settle_words,
    typical_change,
)
from journal.wording.evidence import evidence_words
from journal.wording.findings import doubt, score_named, study_headline
from journal.wording.hours import Stretch
from journal.wording.next_make import change_lines, expected_score, proposal_kind
from journal.wording.numbers import signed
from journal.wording.variable_values import number_in

Draw = Callable[[float, float], None]

SIZES = (10.0, 9.5, 9.0)
PICTURES = 8
"The surest findings each have a chart."
_ROW, _HIGH, _GUTTER = 5.4, 52.0, 8.0  # mm
_NAME, _STEP, _WORD = 46.0, 28.0, 24.0
_PX, _DOT = 0.25, 9.0  # mm of paper for a px of the ranges, px across the dot


def findings_document(answer: StudyAnswer, path: str | Path, *, paper: str = "A4") -> int:
    """Write the findings about one score (or defect) as a PDF of two pages.

    Parameters
    ----------
    answer
        The study with its table.
    path
        The file to write; one that is there is written over.
    paper
        "A4" or "Letter".

    Returns
    -------
    int
        How many pages.

    Raises
    ------
    SheetError
        When there is no such paper.
    OSError
        When the file cannot be written.
    """
    sheet = Paper(paper, worded("desk.findings-about", score=answer.study.score))
    foot = worded("desk.findings-pdf-title", score=answer.study.score)
    pages = []
    for pictures in range(PICTURES, 0, -2):  # a long table leaves room for fewer
        pages = best_pages(sheet, _Findings(sheet, answer, pictures).blocks, SIZES)
        if len(pages) <= WANTED_PAGES:
            break
    return print_pages(sheet, pages, path, foot)


_UNTOLD = {
    HARDLY: "Hardly varied", NEVER: "Never varied", UNKNOWN: "Recorded in too few makes",
}  # fmt: skip


class _Findings:
    """The blocks of one document."""

    def __init__(self, paper: Paper, answer: StudyAnswer, pictures: int = PICTURES) -> None:
        self.paper, self.answer, self.pictures = paper, answer, pictures
        self.span = span_of(answer.study.findings)
        self.varied = [f for f in answer.study.findings if f.evidence not in _UNTOLD]
        self.ranged = any(math.isfinite(f.effect) for f in self.varied)

    def blocks(self, points: float) -> list[Block]:
        """Everything, in the order it stands, at a size of type."""
        study, paper = self.answer.study, self.paper
        score = score_named(study.score)
        what = worded("desk.what-goes-with-first", score=score)
        shown = [f for f in study.findings if f.evidence in (CLEAR, LEANING)]
        return [
            title_block(paper, what, study_headline(study), [looked_words(self.answer)], points),
            paragraph(paper, doubt(study), points, after=2.0),
            *self._table(points),
            gap(1.5),
            *self._never(points),
            *(
                paragraph(paper, note, points - 1, quiet=True)
                for note in (*footnotes(self.answer), *fit_notes(self.answer))
            ),
            *self._next(points),
            *self._findings_blocks(shown, points),
            *self._pictures(points),
        ]

    # The dots and ranges

    def _table(self, points: float) -> list[Block]:
        measure = worded("desk.effect-in", defect=self.answer.is_defect) if self.ranged else ""
        head = self._head(measure, points)
        out = [Block(_ROW, head, keep_with_next=True)]
        out += [Block(_ROW, self._row(f, points)) for f in self.varied]
        return [*out, Block(_ROW, self._axis(points))] if self.ranged else out

    def _never(self, points: float) -> list[Block]:
        """What never varied and what is not known, a line each: there is nothing to draw of it."""
        lines = []
        for evidence, words in _UNTOLD.items():
            names = [f.variable for f in self.answer.study.findings if f.evidence == evidence]
            if names:
                lines.append(f"{words}: {', '.join(names)}.")
        return [paragraph(self.paper, line, points, after=1.5) for line in lines]

    def _x(self, value: float) -> float:
        left = self.paper.left + _NAME + _STEP
        wide = self.paper.across - _NAME - _STEP - _WORD - 4
        return left + (min(max(value / self.span, -1.0), 1.0) + 1) / 2 * wide

    def _head(self, measure: str, points: float) -> Draw:
        def draw(y: float, _height: float) -> None:
            p, quiet = self.paper, self.paper.ink.quiet
            p.words(p.left, y, "if it changes by", points - 1, colour=quiet)
            p.words(self._x(0), y, measure, points - 1, colour=quiet, centre=True)
            p.words(p.right - _WORD, y, "evidence", points - 1, colour=quiet)
            p.rule(p.left, y + _ROW - 0.6, p.right, y + _ROW - 0.6, colour=p.ink.hairline)

        return draw

    def _row(self, finding: Finding, points: float) -> Draw:
        def draw(y: float, height: float) -> None:
            p, shown = self.paper, finding.evidence in (CLEAR, LEANING)
            ink = p.ink.ink if shown else p.ink.quiet
            bold = finding.evidence == CLEAR
            step = _fitted(p, typical_change(finding), _STEP, points - 1)
            room = _NAME + _STEP - 7 - p.text_width(step, points - 1)
            name = _fitted(p, finding.variable, room, points, bold)
            p.words(p.left, y + 0.6, name, points, bold=bold, colour=ink)
            p.words(p.left + _NAME + _STEP - 4, y + 0.8, step, points - 1, right=True,
                    colour=p.ink.quiet)  # fmt: skip
            p.words(p.right - _WORD, y + 0.6, evidence_words(finding.evidence), points, bold=bold,
                    colour=ink)  # fmt: skip
            zero = self._x(0)
            if not math.isfinite(finding.effect):
                return
            p.rule(zero, y, zero, y + height, colour=p.ink.past_line, wide=0.15)
            wide = (self._x(self.span) - self._x(-self.span)) / _PX
            scale = MarkScale((-self.span, self.span), (0.0, wide))
            marks = effect_marks(finding, scale, 0.0, "ink" if shown else "quiet", "field", _DOT)
            p.scene(Scene(list(marks)), self._x(-self.span), y + height / 2, _PX)

        return draw

    def _axis(self, points: float) -> Draw:
        def draw(y: float, _height: float) -> None:
            p = self.paper
            half = self.span / 1.08
            for value in (-half, 0.0, half) if math.isfinite(half) else ():
                text = signed(value, 1) if value else "0"
                p.words(self._x(value), y, text, points - 1, colour=p.ink.quiet, centre=True)

        return draw

    # Words

    def _next(self, points: float) -> list[Block]:
        proposed, paper = self.answer.next_make, self.paper
        if self.answer.is_defect and not proposed.proposals:
            return []  # the next make is proposed from scores
        out = [heading(paper, "Next make", points + 1)]
        best = () if proposed.best is None else (proposed.best,)
        for proposal in (*proposed.proposals, *best):
            title = f"{proposal_kind(proposal.kind)}: {text_of(proposal.title)}"
            lines = change_lines(proposal) if proposal.kind == "careful" else []
            words = " ".join([title, *lines, expected_score(proposal)])
            out.append(paragraph(paper, words, points))
        if proposed.why is not None:
            out.append(paragraph(paper, text_of(proposed.why), points, quiet=True))
        return out

    def _findings_blocks(self, findings: Sequence[Finding], points: float) -> list[Block]:
        out = []
        for f in findings:
            words = worded(
                "desk.finding-on-paper", variable=f.variable, change=typical_change(f),
                defect=self.answer.is_defect,
                effect=signed(f.effect), low=signed(f.low80), high=signed(f.high80),
                settled=settle_words(f, shortly=True),
            )  # fmt: skip
            out.append(paragraph(self.paper, words, points))
        if any(f.evidence == CLEAR for f in findings):
            out.append(paragraph(self.paper, worded(SURE), points - 1, quiet=True))
        return [heading(self.paper, "What is known about each", points + 1), *out] if out else []

    # Pictures

    def _pictures(self, points: float) -> list[Block]:
        seen = [
            scatter_shown(self.answer.picture(f.variable)) for f in self.varied[: self.pictures]
        ]
        rows = [seen[i : i + 2] for i in range(0, len(seen), 2)]
        return [  # held together, so that they have a page of their own
            Block(_HIGH + _GUTTER, self._pair(row, points), keep_with_next=row is not rows[-1])
            for row in rows
        ]

    def _pair(self, row: Sequence[Scatter], points: float) -> Draw:
        def draw(y: float, _height: float) -> None:
            wide = (self.paper.across - _GUTTER) / 2
            for i, seen in enumerate(row):
                self._scatter(seen, self.paper.left + i * (wide + _GUTTER), y + 4, wide, points)

        return draw

    def _scatter(self, seen: Scatter, x: float, y: float, wide: float, points: float) -> None:
        p, high = self.paper, _HIGH - 12
        if not seen.x.size:
            return
        shown, _ = scatter_ranges(seen)
        box = PaperBox(x + 9.0, y, wide - 9.0, high)
        plot = PaperPlot(p, (Stretch(*shown, 0.0, 1.0),), box)
        draw_scatter(plot, seen)
        message = axis_words(seen, self.answer.is_defect)
        p.words(x, y - 4.4, message, points - 1.5, colour=p.ink.quiet)
        foot = box.bottom + 1
        for value in (float(seen.x.min()), float(seen.x.max())):
            at = plot.x_mm(value, plot.parts[0])
            p.words(
                at,
                foot,
                number_in(value, seen.unit, "3g"),
                points - 1.5,
                centre=True,
                colour=p.ink.quiet,
            )
        unit = f", {seen.unit}" if seen.unit else ""
        middle = box.left + box.wide / 2
        p.words(middle, foot, f"{seen.variable}{unit}", points - 1.5, centre=True)


def _fitted(paper: Paper, text: str, width: float, points: float, bold: bool = False) -> str:
    """A text on one line, cut with dots where it is longer."""
    while text and paper.text_width(text, points, bold) > width:
        text = text.rstrip("…")[:-1].rstrip() + "…"
    return text


def document_name(answer: StudyAnswer) -> str:
    """What the file is called when nobody says otherwise."""
    makes = worded("wording.many-make", number=answer.study.makes)
    words = ("findings", answer.study.score, makes)
    return "-".join(words).replace(" ", "-") + ".pdf"

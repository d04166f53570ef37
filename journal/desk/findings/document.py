"""The findings on paper: two pages of words and pictures, for the binder beside the vat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from journal.desk.findings.answer import Answer
from journal.desk.findings.ranges import span_of
from journal.desk.findings.words import footnotes, looked_words, settle_words, signed, step_words
from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.flow import Block, best_laid, print_pages
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import gap, heading, paragraph
from journal.findings import CLEAR, LEANING, Finding, Scatter
from journal.quantities.counts import counted

SIZES = (9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
PICTURES = 8
"""The surest findings have a picture each, two beside each other."""
_ROW, _HIGH, _GUTTER = 5.4, 52.0, 8.0  # mm
_NAME, _STEP, _WORD = 46.0, 28.0, 24.0


def findings_document(answer: Answer, path: str | Path, *, paper: str = "A4") -> int:
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
    sheet = Paper(paper, f"Findings, {answer.study.score}")
    foot = f"findings about {answer.study.score} · Vatside"
    return print_pages(sheet, best_laid(sheet, _Findings(sheet, answer).blocks, SIZES), path, foot)


class _Findings:
    """The blocks of one document."""

    def __init__(self, paper: Paper, answer: Answer) -> None:
        self.paper, self.answer = paper, answer
        self.span = span_of(answer.study.findings)

    def blocks(self, points: float) -> list[Block]:
        """Everything, in the order it stands, at a size of type."""
        study, paper = self.answer.study, self.paper
        what = f"What goes with {study.score}"
        told = [f for f in study.findings if f.evidence in (CLEAR, LEANING)]
        return [
            title_block(paper, what, study.headline(), [looked_words(self.answer)], points),
            paragraph(paper, study.doubt(), points, after=2.0),
            *self._table(points),
            gap(1.5),
            *(paragraph(paper, note, points - 1, quiet=True) for note in footnotes(self.answer)),
            *self._next(points),
            *self._told(told, points),
            *self._pictures(points),
        ]

    # The dots and ranges

    def _table(self, points: float) -> list[Block]:
        measure = "cards in 100" if self.answer.is_defect else "points of score"
        out = [Block(_ROW, self._head(measure, points), keep=True)]
        out += [Block(_ROW, self._row(f, points)) for f in self.answer.study.findings]
        return [*out, Block(_ROW, self._axis(points))]

    def _x(self, value: float) -> float:
        left = self.paper.left + _NAME + _STEP
        wide = self.paper.across - _NAME - _STEP - _WORD - 4
        return left + (min(max(value / self.span, -1.0), 1.0) + 1) / 2 * wide

    def _head(self, measure: str, points: float):
        def draw(y: float, _height: float) -> None:
            p, quiet = self.paper, self.paper.ink.quiet
            p.words(p.left, y, "if it changes by", points - 1, colour=quiet)
            p.words(self._x(0), y, measure, points - 1, colour=quiet, centre=True)
            p.words(p.right - _WORD, y, "evidence", points - 1, colour=quiet)
            p.rule(p.left, y + _ROW - 0.6, p.right, y + _ROW - 0.6, colour=p.ink.hairline)

        return draw

    def _row(self, finding: Finding, points: float):
        def draw(y: float, height: float) -> None:
            p, told = self.paper, finding.evidence in (CLEAR, LEANING)
            ink = p.ink.ink if told else p.ink.quiet
            bold = finding.evidence == CLEAR
            name = _fitted(p, finding.variable, _NAME - 2, points, bold)
            step = _fitted(p, step_words(finding), _STEP - 4, points - 1)
            p.words(p.left, y + 0.6, name, points, bold=bold, colour=ink)
            p.words(p.left + _NAME + _STEP - 4, y + 0.8, step, points - 1, right=True,
                    colour=p.ink.quiet)  # fmt: skip
            p.words(p.right - _WORD, y + 0.6, finding.evidence, points, bold=bold, colour=ink)
            zero = self._x(0)
            p.rule(zero, y, zero, y + height, colour=p.ink.past_line, wide=0.15)
            if not math.isfinite(finding.effect):
                return
            middle = y + height / 2
            for low, high, wide in ((finding.low95, finding.high95, 0.35),
                                    (finding.low80, finding.high80, 1.1)):  # fmt: skip
                p.rule(self._x(low), middle, self._x(high), middle, colour=ink, wide=wide)
            if abs(finding.effect) <= self.span:
                p.dot(self._x(finding.effect), middle, 2.2, ink, hollow=True)

        return draw

    def _axis(self, points: float):
        def draw(y: float, _height: float) -> None:
            p = self.paper
            half = self.span / 1.08
            for value in (-half, 0.0, half) if math.isfinite(half) else ():
                text = signed(value, 1) if value else "0"
                p.words(self._x(value), y, text, points - 1, colour=p.ink.quiet, centre=True)

        return draw

    # Words

    def _next(self, points: float) -> list[Block]:
        told, paper = self.answer.next_make, self.paper
        out = [heading(paper, "Next make", points + 1)]
        for proposal in (told.learn, told.improve):
            if proposal is not None:
                words = f"To {proposal.kind}: {proposal.title} {proposal.reason}"
                out.append(paragraph(paper, words, points))
        if told.why:
            out.append(paragraph(paper, told.why, points, quiet=True))
        return out

    def _told(self, told: Sequence[Finding], points: float) -> list[Block]:
        out = []
        unit = "cards in 100" if self.answer.is_defect else "points"
        for f in told:
            words = (
                f"{f.variable}, {step_words(f)}: {signed(f.effect)} {unit}, 8 times in 10 between "
                f"{signed(f.low80)} and {signed(f.high80)}. {settle_words(f)}"
            )
            out.append(paragraph(self.paper, words, points))
        return [heading(self.paper, "What is known of each", points + 1), *out] if out else []

    # Pictures

    def _pictures(self, points: float) -> list[Block]:
        best = [f for f in self.answer.study.findings if math.isfinite(f.effect)][:PICTURES]
        seen = [self.answer.picture(f.variable) for f in best]
        rows = [seen[i : i + 2] for i in range(0, len(seen), 2)]
        return [Block(_HIGH + _GUTTER, self._pair(row, points)) for row in rows]

    def _pair(self, row: Sequence[Scatter], points: float):
        def draw(y: float, _height: float) -> None:
            wide = (self.paper.across - _GUTTER) / 2
            for i, seen in enumerate(row):
                self._scatter(seen, self.paper.left + i * (wide + _GUTTER), y + 4, wide, points)

        return draw

    def _scatter(self, seen: Scatter, x: float, y: float, wide: float, points: float) -> None:
        p, high = self.paper, _HIGH - 12
        values = np.concatenate([seen.y, seen.low80, seen.high80])
        low, top = float(values.min()), float(values.max())
        first, last = float(seen.x.min()), float(seen.x.max())
        inner = x + 9.0

        def place(a: float, b: float) -> tuple[float, float]:
            across = (a - first) / max(last - first, 1e-12)
            up = (b - low) / max(top - low, 1e-12)
            return inner + 2 + across * (wide - 13), y + 3 + (1 - up) * (high - 3)

        p.words(x, y - 3, f"{seen.score}, other things equal", points - 1.5, colour=p.ink.quiet)
        upper = [place(a, b) for a, b in zip(seen.line_x, seen.high80, strict=True)]
        lower = [place(a, b) for a, b in zip(seen.line_x, seen.low80, strict=True)]
        if upper:
            p.area([*upper, *lower[::-1]], p.ink.past)
            line = [place(a, b) for a, b in zip(seen.line_x, seen.line_y, strict=True)]
            p.path(line, colour=p.ink.ink, wide=0.4)
        for a, b in zip(seen.x, seen.y, strict=True):
            p.dot(*place(float(a), float(b)), 1.3, p.ink.ink, hollow=False)
        foot = y + high + 1
        p.rule(inner, foot, x + wide, foot, colour=p.ink.past_line)
        for value in (low, top):
            text, (_, at) = f"{value:.1f}", place(first, value)
            p.words(inner - 1, at - 1.5, text, points - 1.5, right=True, colour=p.ink.quiet)
        for value, right in ((first, False), (last, True)):
            at = place(value, low)[0]
            p.words(at, foot + 1, f"{value:.3g}", points - 1.5, right=right, colour=p.ink.quiet)
        unit = f", {seen.unit}" if seen.unit else ""
        p.words(inner + (wide - 9) / 2, foot + 1, f"{seen.variable}{unit}", points - 1.5,
                centre=True)  # fmt: skip


def _fitted(paper: Paper, text: str, width: float, points: float, bold: bool = False) -> str:
    """A text on one line, cut with dots where it is longer."""
    while text and paper.text_width(text, points, bold) > width:
        text = text.rstrip("…")[:-1].rstrip() + "…"
    return text


def document_name(answer: Answer) -> str:
    """What the file is called when nobody says otherwise."""
    makes = counted(answer.study.makes, "make").replace(" ", "-")
    return f"findings-{answer.study.score}-{makes}.pdf".replace(" ", "-")

"""Attributes of a wheel as one profile on paper: a row each on one scale, its values beside it."""

from __future__ import annotations

from collections.abc import Sequence

from journal.desk.charts.profile_rows import draw_profile, draw_session
from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.plot import PaperBox, PaperPlot
from journal.desk.sheets.table import heading
from journal.records.tastings import SCORE_TOP
from journal.reports.profile import BEST, LAST, LATEST, THIS, Profile
from journal.wording import worded
from journal.wording.hours import Stretch

_NAMES, _VALUE = 32.0, 16.0  # mm, of the names and of each column of values
_ROW = 5.6  # mm
_SCALE = 1.13  # of the marks, for the eye that reads paper
_HEADS = {THIS: "this", LATEST: "latest", LAST: "before", BEST: "best"}


def profile_blocks(paper: Paper, profiles: Sequence[Profile], points: float) -> list[Block]:
    """A picture for each wheel that was scored; nothing where none was."""
    return [
        block
        for profile in profiles
        for block in (
            heading(paper, worded("desk.attributes-of", wheel=profile.wheel), points + 1),
            _WheelRows(paper, profile, points).block(),
        )
    ]


class _WheelRows:
    """Draws the rows of one wheel, and above them which mark is which session."""

    def __init__(self, paper: Paper, profile: Profile, points: float) -> None:
        self.paper, self.profile, self.points = paper, profile, points
        self.left = paper.left + _NAMES
        self.right = paper.right - len(profile.sides) * _VALUE - 4.0

    def block(self) -> Block:
        lines = len(self.profile.sides) + len(self.profile.attributes) + 1
        return Block(lines * _ROW + 2.0, self._draw)

    def _draw(self, y: float, _height: float) -> None:
        paper, profile, points = self.paper, self.profile, self.points
        sides, rows, quiet = profile.sides, profile.attributes, paper.ink.quiet
        plot, px = self._plot(y), SCORE_TOP / (self.right - self.left)
        for number, side in enumerate(sides):
            left = (paper.left + 2.5 - self.left) * px
            draw_session(plot, side.which, left, -(number + 0.5), _SCALE)
            paper.words(paper.left + 6.0, y + 0.8, side.title, points)
            y += _ROW
        ends = [paper.right - k * _VALUE for k in reversed(range(len(sides)))]
        for side, x in zip(sides, ends, strict=True):
            paper.words(x, y + 0.8, _HEADS[side.which], points, right=True, colour=quiet)
        for value in (0.0, SCORE_TOP / 2, SCORE_TOP):
            x = self.left + value / px
            paper.words(x, y + 0.8, f"{value:g}", points, centre=True, colour=quiet)
            paper.rule(x, y + _ROW, x, y + _ROW * (len(rows) + 1))
        for name in rows:
            y += _ROW
            middle = y + _ROW / 2
            paper.words(paper.left, middle - 2.0, name, points)
            paper.rule(self.left, middle, self.right, middle)
            for side, x in zip(sides, ends, strict=True):
                if name in side.means:
                    words = f"{side.means[name]:.1f}"
                    paper.words(x, middle - 2.0, words, points, right=True)
        heights = [-(len(sides) + 1.5 + number) for number in range(len(rows))]
        draw_profile(plot, profile, heights, _SCALE)

    def _plot(self, top: float) -> PaperPlot:
        """The whole picture: rows down from 0, the scale of the scores across and on to the left of
        them."""
        paper, wide = self.paper, self.right - self.paper.left
        first = (paper.left - self.left) / (self.right - self.left) * SCORE_TOP
        lines = len(self.profile.sides) + len(self.profile.attributes) + 1
        box = PaperBox(paper.left, top, wide, lines * _ROW)
        plot = PaperPlot(paper, [Stretch(first, SCORE_TOP, 0.0, 1.0)], box)
        plot.show_range(None, (-float(lines), 0.0))
        return plot

"""Attributes of a wheel as one profile on paper: a row each on one scale, its values beside it."""

from __future__ import annotations

from collections.abc import Sequence

from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import heading
from journal.records.tastings import SCORE_TOP
from journal.reports.profile import BEST, LAST, LATEST, THIS, Profile
from journal.wording import worded

_NAMES, _VALUE = 32.0, 16.0  # mm, of the names and of each column of values
_ROW, _DOT, _RING, _DIAMOND = 5.6, 1.5, 2.6, 4.0  # mm
_HEADS = {THIS: "this", LATEST: "latest", LAST: "before", BEST: "best"}


def profile_blocks(paper: Paper, profiles: Sequence[Profile], points: float) -> list[Block]:
    """A picture for each wheel that was scored; nothing where none was."""
    return [
        block
        for profile in profiles
        for block in (
            heading(paper, worded("desk.attributes-of", wheel=profile.wheel), points + 1),
            _Rows(paper, profile, points).block(),
        )
    ]


class _Rows:
    """Draws the rows of one wheel, and above them which mark is which session."""

    def __init__(self, paper: Paper, profile: Profile, points: float) -> None:
        self.paper, self.profile, self.points = paper, profile, points
        self.left = paper.left + _NAMES
        self.right = paper.right - len(profile.sides) * _VALUE - 4.0

    def block(self) -> Block:
        lines = len(self.profile.sides) + len(self.profile.attributes) + 1
        return Block(lines * _ROW + 2.0, self._draw)

    def _draw(self, y: float, _height: float) -> None:
        paper, sides, points = self.paper, self.profile.sides, self.points
        for side in sides:
            self._mark(side.which, paper.left + 2.5, y + _ROW / 2)
            paper.words(paper.left + 6.0, y + 0.8, side.title, points)
            y += _ROW
        ends = [paper.right - k * _VALUE for k in reversed(range(len(sides)))]
        for side, x in zip(sides, ends, strict=True):
            paper.words(x, y + 0.8, _HEADS[side.which], points, right=True, colour=paper.ink.quiet)
        rows = self.profile.attributes
        for value in (0.0, SCORE_TOP / 2, SCORE_TOP):
            x = self._x(value)
            paper.words(x, y + 0.8, f"{value:g}", points, centre=True, colour=paper.ink.quiet)
            paper.rule(x, y + _ROW, x, y + _ROW * (len(rows) + 1))
        y += _ROW
        at = {name: y + (number + 0.5) * _ROW for number, name in enumerate(rows)}
        this = [(self._x(sides[0].means[n]), at[n]) for n in rows if n in sides[0].means]
        paper.path(this, colour=paper.ink.ink, wide=0.25)
        for name in rows:
            paper.words(paper.left, at[name] - 2.0, name, points)
            paper.rule(self.left, at[name], self.right, at[name])
            for side, x in reversed(list(zip(sides, ends, strict=True))):
                if name in side.means:
                    self._mark(side.which, self._x(side.means[name]), at[name])
                    words = f"{side.means[name]:.1f}"
                    paper.words(x, at[name] - 2.0, words, points, right=True)

    def _x(self, value: float) -> float:
        return self.left + value / SCORE_TOP * (self.right - self.left)

    def _mark(self, which: str, x: float, y: float) -> None:
        paper, half = self.paper, _DIAMOND / 2
        if which == BEST:
            corners = [(x - half, y), (x, y - half), (x + half, y), (x, y + half), (x - half, y)]
            paper.path(corners, colour=paper.ink.quiet, wide=0.3)
        elif which == LAST:
            paper.dot(x, y, _RING, paper.ink.planned, hollow=True)
        else:
            paper.dot(x, y, _DOT, paper.ink.ink, hollow=False)

"""How far each goes with the others, and all together: dots with ranges on one scale."""

from __future__ import annotations

from math import isnan

from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.theme import STEP
from journal.findings.agreement import OrdinalAgreement
from journal.reports.panel import PanelRead, PersonRead
from journal.wording import worded
from journal.wording.numbers import minus
from journal.wording.panel import ALL_OF_YOU

_MARKS = [(0.0, "nothing in common"), (0.5, "half"), (1.0, "the same")]
_LOW, _HIGH = -0.3, 1.08  # the scale at least; its words stand about the ends
_FEW = "too few cheeses scored by others as well"


class Together(DotRows):
    """Draws them; the last row is the panel as a whole."""

    def __init__(self) -> None:
        super().__init__("How far each goes with the others", row_px=11 * STEP)

    def show_panel(self, found: PanelRead) -> None:
        """Draw this panel."""
        rows = [_row(one) for one in found.rows]
        if found.agreement is not None:
            rows.append(_all(found.agreement))
        lowest = min((min(*row.dots, *(row.line or (1.0,))) for row in rows if row.dots),
                     default=0.0)  # fmt: skip
        self.show_rows(rows, (max(-1.0, min(_LOW, lowest - 0.05)), _HIGH), _MARKS)


def _row(one: PersonRead) -> DotRow:
    member = one.member
    if isnan(member.with_others):
        return DotRow(one.name, (), f"{one.name}: {_FEW}")
    line = None if isnan(member.low) else (member.low, member.high)
    words = [worded("desk.goes-with-others", name=one.name, value=_figure(member.with_others))]
    words += [] if one.can_tell else [worded("desk.may-be-chance")]
    return DotRow(
        one.name, (member.with_others,), ", ".join(words + _range(line)), line,
        hollow=not one.can_tell,
    )  # fmt: skip


def _all(found: OrdinalAgreement) -> DotRow:
    line = (found.low, found.high)
    words = [worded("desk.all-agree", value=_figure(found.alpha)), *_range(line)]
    return DotRow(worded(ALL_OF_YOU), (found.alpha,), ", ".join(words), line)


def _range(line: tuple[float, float] | None) -> list[str]:
    if line is None:
        return []
    return [worded("wording.from-to", first=_figure(line[0]), last=_figure(line[1]))]


def _figure(value: float) -> str:
    return minus(f"{value:.2f}")

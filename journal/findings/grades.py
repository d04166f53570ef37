"""What a cheese is made of by the kitchen scale, beside the composition that goes with a grade.

The ranges are what graders, buyers and books have asked for or found; none of them is a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass

from journal.findings.made_of import composition_of, salt_is_known
from journal.findings.trade import SAME, GradeRange, closeness, grade_ranges
from journal.records.whole import WholeMake

PARAMETERS = {
    "moisture": "moisture_pct",
    "water": "moisture_pct",
    "FDM": "fdm_pct",
    "fat": "fat_pct",
    "salt": "salt_pct",
    "S/M": "s_m_pct",
}
"""What a row of the table is about, by the name of the estimate."""
_OF_SALT = ("salt_pct", "s_m_pct")


@dataclass(frozen=True)
class Graded:
    """One estimate in %, where it lies in 8 of 10, and the published ranges beside it."""

    name: str
    value: float
    low80: float
    high80: float
    ranges: tuple[GradeRange, ...]

    def beside(self, one: GradeRange) -> str:
        """Where the estimate lies: "inside", "below" or "above" a range for certain, or "open"
        where its own range reaches over an end. A single figure has no inside."""
        if one.low is not None and self.high80 < one.low:
            return "below"
        if one.high is not None and self.low80 > one.high:
            return "above"
        above = one.low is None or self.low80 >= one.low
        below = one.high is None or self.high80 <= one.high
        return "inside" if above and below and not one.is_found else "open"


def graded(make: WholeMake, family: str) -> tuple[Graded, ...]:
    """The make's composition as the scale tells it, where the milk's fat and the green weights are
    known, with the published rows of its family."""
    found = composition_of(make)
    if found is None:
        return ()
    out = []
    for name in dict.fromkeys(PARAMETERS.values()):
        if name in _OF_SALT and not salt_is_known(make):
            continue
        rows = tuple(
            row for row in grade_ranges()
            if PARAMETERS.get(row.parameter) == name
            and family and closeness(row.family, family) == SAME
        )  # fmt: skip
        out.append(Graded(name, getattr(found, name), *found.ranges_80[name], rows))
    return tuple(out)

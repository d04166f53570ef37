"""Make variables against scores: what goes with a better wheel, and how sure that is.

Here: reading the variables out of whole makes, wheel scores from several assessors,
single-variable and joint statistics, evidence words. What it says must be true with eight
makes as with eighty; the method is written in DEVELOPERS.md. Not here: reading the journal
file (whole makes are handed in), the view (desk).

One way through: single scores become wheel scores (`panel_scores`), these and the variables a
`ScoreTable` (or a foreign table does, `from_columns`), the table a `study`, and each of its
findings a picture (`scatter`).
"""

from __future__ import annotations

from journal.findings.error import FindingError
from journal.findings.evidence import CLEAR, LEANING, LEAST_MAKES, NEVER, UNKNOWN, UNTOLD
from journal.findings.finding import Finding
from journal.findings.panel import PanelScores, panel_scores
from journal.findings.scatter import Scatter, scatter
from journal.findings.study import Study, study
from journal.findings.table import AGE_KEY, ScoreTable, Variable, from_columns

__all__ = [
    "AGE_KEY",
    "CLEAR",
    "LEANING",
    "LEAST_MAKES",
    "NEVER",
    "UNKNOWN",
    "UNTOLD",
    "Finding",
    "FindingError",
    "PanelScores",
    "Scatter",
    "ScoreTable",
    "Study",
    "Variable",
    "from_columns",
    "panel_scores",
    "scatter",
    "study",
]

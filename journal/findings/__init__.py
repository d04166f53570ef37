"""Make variables against scores: what goes with a better wheel, and how sure that is."""

from __future__ import annotations

from journal.findings.error import FindingError
from journal.findings.evidence import CLEAR, LEANING, LEAST_MAKES, NEVER, UNDECIDED, UNKNOWN
from journal.findings.finding import Finding
from journal.findings.panel import PanelScores, panel_scores
from journal.findings.scatter import Scatter, scatter
from journal.findings.study import Study, study
from journal.findings.table import AGE_KEY, ScoreTable, Variable

__all__ = [
    "AGE_KEY",
    "CLEAR",
    "LEANING",
    "LEAST_MAKES",
    "NEVER",
    "UNDECIDED",
    "UNKNOWN",
    "Finding",
    "FindingError",
    "PanelScores",
    "Scatter",
    "ScoreTable",
    "Study",
    "Variable",
    "panel_scores",
    "scatter",
    "study",
]

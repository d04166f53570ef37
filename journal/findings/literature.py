"""What the books expect beside a finding of the journal's own: it moves no number."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from journal.findings.evidence import CLEAR, LEANING
from journal.findings.finding import Finding
from journal.findings.study import Study
from journal.findings.table import snake
from journal.findings.trade import (
    EITHER,
    FAR,
    LESS,
    MORE,
    NO_EFFECT,
    TRIAL,
    causes,
    closeness,
    effects,
    families,
)
from journal.findings.trade_values import measured

SAME_WAY, OPPOSITE, DISAGREE, NOTHING, UNTOLD = "same", "opposite", "disagree", "none", "open"
"""What the books say beside a finding; "open" where the books expect something and the journal
cannot tell its own way yet."""
MIDDLE = "middle"
_WEIGHT = {CLEAR: 1.5, LEANING: 1.0}


@dataclass(frozen=True)
class Literature:
    """What is published about a variable and a score: which way more of it moves the score
    ("more", "less", "middle"; "" where the rows disagree or there are none), of how many trials,
    of which families, by which rows."""

    says: str
    expects: str = ""
    trials: int = 0
    family: str = ""
    rows: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return it with the keys of the command line: `says` is "none" as well where the journal
        cannot tell its own way yet, and `expects` what the books do."""
        return {
            "says": NOTHING if self.says == UNTOLD else self.says,
            "expects": self.expects or None,
            "trials": self.trials,
            "family": self.family or None,
        }


@dataclass(frozen=True)
class OwnFinding:
    """The journal's own finding about a variable and a defect: `about` what, its evidence, and
    whether more of the variable brings more of it. `says` is "same" or "opposite" to a cause, ""
    where the journal cannot tell."""

    about: str
    evidence: str
    effect: float
    unit: str
    step: float
    says: str = ""

    def beside(self, direction: str) -> OwnFinding:
        """The same beside a cause that goes that way."""
        if self.evidence not in _WEIGHT or direction in (EITHER, NO_EFFECT):
            return self
        return replace(
            self, says=SAME_WAY if (self.effect > 0) == (direction == MORE) else OPPOSITE
        )

    @property
    def weight(self) -> float:
        """How much sooner a cause is looked at for it."""
        size = _WEIGHT.get(self.evidence, 0.0)
        return {SAME_WAY: size, OPPOSITE: -size}.get(self.says, 0.0)


def own_of(study: Study) -> dict[str, OwnFinding]:
    """What a study of a defect (or of its score) says, by key of the variable."""
    return {
        one.key: OwnFinding(study.score, one.evidence, one.effect, one.unit, one.step)
        for one in study.findings
    }


def literature_on(finding: Finding, score: str, family: str = "") -> Literature:
    """What the books expect of a finding's variable and a score or defect.

    Parameters
    ----------
    finding : Finding
    score : str
        An attribute ("overall") or the word of a defect.
    family : str
        The family the journal's makes are of, "" for several: rows of families far away are left
        out.
    """
    found = [row for row in _rows_on(finding.key, score) if closeness(row[2], family) != FAR]
    if not found:
        return Literature(NOTHING)
    ways = {way for _, way, _, _ in found}
    trials = sum(is_trial for *_, is_trial in found)
    kinds = "; ".join(dict.fromkeys(one for _, _, kind, _ in found for one in families(kind)))
    rows = tuple(row for row, *_ in found)
    if len(ways) > 1:
        return Literature(DISAGREE, "", trials, kinds, rows)
    expects = next(iter(ways))
    if expects in (NO_EFFECT, MIDDLE) or finding.evidence not in _WEIGHT:
        return Literature(UNTOLD, expects, trials, kinds, rows)
    same = (finding.effect > 0) == (expects == MORE)
    return Literature(SAME_WAY if same else OPPOSITE, expects, trials, kinds, rows)


def _rows_on(key: str, score: str) -> Iterator[tuple[str, str, str, bool]]:
    """Row, which way more of the variable moves the score, family, whether it is a trial."""
    named = snake(score)
    trade = {name for name, readers in measured().items() if key in {r.key for r in readers}}
    contrast = {
        "treatment_raw": "treatment_pasteurised",
        "treatment_thermised": "treatment_pasteurised",
    }
    turned = key in contrast
    keys = trade | {contrast.get(key, key)}
    for row in effects():
        if row.variable in keys and row.expects and snake(row.score) == named:
            yield row.id, _turned(row.expects, turned), row.family, row.kind == TRIAL
    for cause in causes():
        if cause.variable in keys and cause.direction != EITHER and snake(cause.defect) == named:
            yield cause.id, _turned(cause.direction, turned), cause.family, cause.evidence == TRIAL


def _turned(way: str, turned: bool) -> str:
    return {MORE: LESS, LESS: MORE}.get(way, way) if turned else way

"""The whole question at once: which make variables go with a score, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any

import numpy as np

from journal.findings.ahead import fit_ahead, less_sure
from journal.findings.bends import candidates, clear_bends
from journal.findings.curve import QuadraticTerm, age_curve, bends_of
from journal.findings.defects import LATENT_SD, fit_logistic, more_in_100
from journal.findings.error import FindingError
from journal.findings.evidence import LEANING, LEAST_MAKES, UNDECIDED, WORDS, Effects, weigh_effects
from journal.findings.finding import Finding, finding_of, plain_number
from journal.findings.heavy import fit_faded, scales_of
from journal.findings.joint import Joint, JointData
from journal.findings.least_squares import LeastSquares, least_squares
from journal.findings.missing import Gaps, fill, make_means
from journal.findings.residuals import MakeResidual, residuals
from journal.findings.single import (
    Orders,
    benjamini_hochberg,
    spearman,
    spearman_p,
    theil_sen,
    theil_sen_within,
    within_makes,
)
from journal.findings.table import AGE_KEY, Floats, ScoreTable
from journal.findings.together import Entries, entries_of
from journal.message import Message

Progress = Callable[[float], None]
Stop = Callable[[], bool]
Curves = tuple[QuadraticTerm, ...]
ByEvidence = dict[str, list[list[str]]]
"""Names by evidence word; names that moved together share a list."""


@dataclass(frozen=True)
class Study:
    """All findings for one score, the surest first, then the strongest."""

    score: str
    makes: int
    wheels: int
    assessors: int | None
    variables_tried: int
    r2: float
    r2_left_one_out: float
    findings: list[Finding]
    notes: list[Message] = field(default_factory=list)
    joint: Joint | None = None
    entries: Entries | None = None
    curves: tuple[QuadraticTerm, ...] = ()
    given: JointData | None = None
    residuals: tuple[MakeResidual, ...] = ()

    @cached_property
    def ahead(self) -> Joint | None:
        """What makes yet to come are predicted by; fitted when first asked for."""
        return self.joint if self.given is None else fit_ahead(self.given)

    def by_evidence(self) -> ByEvidence:
        """What a maker can choose by evidence word, those that moved together in one list: the
        age at tasting, which every wheel reaches, stands apart unless it moved with something."""
        by_evidence: ByEvidence = {word: [] for word in WORDS}
        seen: set[str] = set()
        for f in self.findings:
            if f.variable not in seen and (f.key != AGE_KEY or f.moved_with):
                by_evidence[f.evidence].append([f.variable, *f.moved_with])
                seen.update([f.variable, *f.moved_with])
        return by_evidence

    def nearest(self) -> tuple[str, int] | None:
        """The variable that fewest more makes would settle, and how many."""
        waiting = [(f.makes_to_settle, f.variable) for f in self.findings if f.makes_to_settle]
        return (min(waiting)[1], min(waiting)[0]) if waiting else None

    def finding(self, variable: str) -> Finding:
        """Return the finding of a variable by name or key."""
        for f in self.findings:
            if variable in (f.variable, f.key):
                return f
        raise FindingError("findings.no-finding", variable=variable)

    @property
    def leaning_by_chance(self) -> float:
        """How many of those that lean do so by chance, about: an 80 % range misses zero by chance
        in one of five, so a quarter as many lean as are undecided; never more than lean."""
        words = [f.evidence for f in self.findings]
        return min(words.count(LEANING), words.count(UNDECIDED) / 4)

    def as_json(self) -> dict[str, Any]:
        """Return the study with the keys of the command line, null where it is unknown."""
        return {
            "score": self.score,
            "makes": self.makes,
            "wheels": self.wheels,
            "assessors": self.assessors,
            "variables_tried": self.variables_tried,
            "r2": plain_number(self.r2),
            "r2_left_one_out": plain_number(self.r2_left_one_out),
            "findings": [f.as_json() for f in self.findings],
            "leaning_by_chance": self.leaning_by_chance,
        }


def study(
    table: ScoreTable,
    *,
    seed: int = 0,
    permutations: int = 9999,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> Study:
    """Say which variables of a table go with its score, and how sure that is.

    Parameters
    ----------
    table : ScoreTable
    seed : int
        Seed of the random orders, so that one table always gives one answer.
    permutations : int
        Random orders where they cannot all be looked at.
    progress : callable, optional
        Told the share done, 0 to 1.
    stop : callable, optional
        Asked between variables; True ends the work with a FindingError.

    Raises
    ------
    FindingError
        When there is no row or no variable, or the work was stopped.
    """
    if not table.make or not table.variables:
        raise FindingError("findings.nothing-to-look-at")
    filled = fill(table)
    entries = entries_of(filled.x)
    singles = _singles(table, entries, Orders(permutations, seed), progress, stop)
    make, wheel = numbered(table)
    age, gaps = age_curve(table, filled.x), Gaps.of(filled, entries)
    rows = _FitRows(table, entries, make, wheel, filled.x, gaps)
    joint, effects, given, curves = _joint(rows, () if age is None else (age,), stop)
    points = (
        partial(more_in_100, joint) if joint is not None and table.samples is not None else None
    )
    plain = _least_squares(entries, table.y, make)
    q = benjamini_hochberg(singles[:, 1])
    findings = [
        finding_of(table, j, entries, effects, plain, (*singles[j].tolist(), float(q[j])), points)
        for j in range(len(table.variables))
    ]
    findings.sort(key=_surest_first)
    if progress:
        progress(1.0)
    return Study(
        score=table.score_name,
        makes=table.makes,
        wheels=table.wheels,
        assessors=table.assessors,
        variables_tried=len(table.variables),
        r2=plain.r2 if plain else math.nan,
        r2_left_one_out=plain.r2_left_one_out if plain else math.nan,
        findings=findings,
        notes=_notes(table, filled.notes, entries, plain, joint),
        joint=joint,
        entries=entries,
        curves=curves,
        given=given,
        residuals=_residuals(table, entries, joint, curves, filled.x),
    )


def _residuals(
    table: ScoreTable, entries: Entries, joint: Joint | None, curves: Curves, x: Floats
) -> tuple[MakeResidual, ...]:
    """Each make beside what its variables say; of a defect nothing."""
    if joint is None or table.samples is not None:
        return ()
    bends = bends_of(curves, x)
    columns = entries.z if bends is None else np.column_stack([entries.z, bends])
    return tuple(residuals(joint, columns, table.y - float(table.y.mean()), table.make))


def numbered(table: ScoreTable) -> tuple[Any, Any]:
    """Each row's make and wheel as numbers from 0."""
    make = np.unique(np.asarray(table.make, dtype=str), return_inverse=True)[1].reshape(-1)
    wheel = np.unique(np.asarray(table.wheel, dtype=str), return_inverse=True)[1].reshape(-1)
    return make, wheel


def go_on(stop: Stop | None) -> bool:
    """Always True.

    Raises
    ------
    FindingError
        When the work is to stop.
    """
    if stop and stop():
        raise FindingError("findings.stopped")
    return True


def _singles(
    table: ScoreTable,
    entries: Entries,
    orders: Orders,
    progress: Progress | None,
    stop: Stop | None,
) -> Floats:
    """Return rho, p and Theil-Sen slope of each variable over the means of makes."""
    make = numbered(table)[0]
    score = make_means(table.y, make)
    found = np.full((len(table.variables), 3), np.nan)
    for j in range(len(table.variables)):
        go_on(stop)
        if entries.of(j) is not None:
            found[j] = _single(table.x[:, j], table.y, make, score, orders)
        if progress:
            progress(0.8 * (j + 1) / len(table.variables))
    return found


def _single(
    column: Floats, scores: Floats, make: Any, score: Floats, orders: Orders
) -> tuple[float, float, float]:
    """Rank correlation, its p and the slope of one column: within makes where that is where it
    varies most, else over the means of makes (`score` are those of the scores)."""
    known = np.isfinite(column)
    value = make_means(column, make)
    off = column[known] - value[make[known]]
    if known.any() and np.var(off) > np.nanvar(value):
        within = within_makes(column[known], scores[known], make[known], orders)
        if np.isfinite(within[0]):
            return *within, theil_sen_within(column[known], scores[known], make[known])
    there = np.isfinite(value)
    x, y = value[there], score[there]
    if x.size < 3:
        return (math.nan,) * 3
    return spearman(x, y), spearman_p(x, y, orders), theil_sen(x, y)


@dataclass(frozen=True)
class _FitRows:
    """What a joint model is fitted on: a table with its entries, and its values without gaps."""

    table: ScoreTable
    entries: Entries
    make: Any
    wheel: Any
    x: Floats
    gaps: Gaps | None

    def with_bends(self, curves: Curves) -> JointData:
        """The rows with lines and bends."""
        table = self.table
        given = JointData.of(
            self.entries.z, table.y, table.y_se, self.make, self.wheel, self.members,
            int(self.members.sum()), bend=bends_of(curves, self.x), shared=table.shared,
        )  # fmt: skip
        return less_sure(given, self.gaps)

    @property
    def members(self) -> Floats:
        """How many variables stand behind each entry."""
        return np.array([len(e.members) for e in self.entries.entries], dtype=float)


def _joint(
    rows: _FitRows, curves: Curves, stop: Stop | None
) -> tuple[Joint | None, Effects | None, JointData | None, Curves]:
    """The joint model with every bend that is clear, beside those that are declared."""
    table, entries = rows.table, rows.entries
    spread = float(table.y.std(ddof=1)) if table.y.size > 1 else 0.0
    if table.makes < LEAST_MAKES or not entries.entries or spread < 1e-9:
        return None, None, None, ()
    go_on(stop)
    tried = int(rows.members.sum())
    if table.samples is not None and table.named is not None:
        joint = fit_logistic(
            entries.z, table.named, table.samples, rows.make, rows.members, tried,
            bend=bends_of(curves, rows.x), gaps=rows.gaps,
        )  # fmt: skip
        return joint, weigh_effects(joint, table.makes, tried, LATENT_SD), None, curves
    given = rows.with_bends(curves)
    go_on(stop)
    asked = candidates(table, rows.x, entries)
    found = clear_bends(given, asked, rows.x, len(entries.entries))
    if found:
        curves = (*curves, *found)
        given = rows.with_bends(curves)
        go_on(stop)
    scales = scales_of(table, entries.entries, entries.sd)
    joint = fit_faded(given, scales)
    looked = (len(entries.entries) + len(asked), len(curves) - len(found))
    bends = tuple((entries.of(curve.variable) or (0, 1), curve) for curve in curves)
    effects = weigh_effects(joint, table.makes, tried, spread, bends, looked)
    return joint, effects, given, curves


def _least_squares(entries: Entries, y: Floats, make: Any) -> LeastSquares | None:
    if not entries.entries or len(set(make.tolist())) < LEAST_MAKES:
        return None
    try:
        return least_squares(entries.z, y, make)
    except FindingError:
        return None


def _surest_first(finding: Finding) -> tuple[int, float, float]:
    alone = 0.0 if math.isnan(finding.rho) else abs(finding.rho)
    return WORDS.index(finding.evidence), -finding.strength, -alone


def _notes(
    table: ScoreTable,
    gaps: list[Message],
    entries: Entries,
    plain: LeastSquares | None,
    joint: Joint | None,
) -> list[Message]:
    notes = [*table.notes, *(gaps if joint is not None else [])]  # else nothing stands in
    for entry in entries.entries:
        if len(entry.members) > 1 and table.makes > 2:  # any two makes lie on a line
            names = [table.variables[m].name for m in entry.members]
            notes.append(Message("findings.moved-together", names=names))
    if table.makes < LEAST_MAKES:
        notes.append(Message("findings.ranges-begin", least=LEAST_MAKES, makes=table.makes))
    elif joint is None and entries.entries:
        notes.append(Message("findings.all-scores-alike"))
    elif plain is None:
        notes.append(Message("findings.no-least-squares"))
    return notes

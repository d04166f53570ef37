"""Why a wheel or a make is so, gathered from the journal; runs in the background."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import partial

from journal.background import State
from journal.findings import FindingError, Scatter, ScoreTable, Study, scatter, study
from journal.findings.defect_table import defect_table
from journal.findings.literature import own_of
from journal.findings.trade import defect_word
from journal.findings.variables import score_table
from journal.findings.why import Why, why
from journal.keeping import Journal, KeepingError
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.kinds import ATTRIBUTES
from journal.records.plans import Plan
from journal.records.whole import WholeMake
from journal.reports.cut_and_scores import CutAndScores, cut_and_scores, nothing_beside
from journal.reports.study import ticked_in
from journal.wording import worded

MOST_MAKES = 120
"""Of a longer journal the newest so many makes say what is usual."""
ORDERS = 99
"""Random orders of the own study: what is shown of it does not depend on them."""


@dataclass(frozen=True, eq=False)
class WhyAnswer:
    """Why a wheel or make is so, its make's key and plan, and the study of the defect beside it
    (None: too few scores, or no defect), with the photo of its cut and its scores."""

    why: Why
    make_id: int
    plan: Plan
    table: ScoreTable | None = None
    study: Study | None = None
    beside: CutAndScores = field(default_factory=nothing_beside)

    def picture(self, variable: str) -> Scatter:
        """The own wheels along a variable; FindingError where there are none."""
        if self.table is None or self.study is None:
            raise FindingError("findings.no-finding", variable=variable)
        return scatter(self.table, self.study, variable)


def why_of(journal: Journal, code: str, defect: str, state: State) -> WhyAnswer:
    """Why a wheel or make is so; `defect` is "" for the one most often named.

    Raises
    ------
    FindingError
        When no cause is known by that word.
    KeepingError
        When there is no wheel or make of that code.
    """
    wanted = defect_word(defect) if defect else ""
    make, wheel = _found(journal, code)
    wholes = _wholes(journal, make, state)
    whole = next(one for one in wholes if one.make.code == make)
    named = [mark for mark in whole.named if wheel in ("", mark.wheel_code)]
    if not wanted and named:
        terms = [mark.term for mark in named]
        wanted = min(set(terms), key=lambda term: (-terms.count(term), term))
    table, own = _studied(wholes, wanted, ticked_in(journal), state) if wanted else (None, None)
    own_values = {} if own is None else own_of(own)
    found = why(whole, wheel, wanted, wholes, own_values, _age(whole, wheel, wanted))
    beside = cut_and_scores(journal, whole, wheel, wholes)
    return WhyAnswer(found, id_of(whole.make), whole.plan, table, own, beside)


def _found(journal: Journal, code: str) -> tuple[str, str]:
    """Codes of make and wheel; the wheel's is "" where a make is named."""
    try:
        return journal.makes.by_code(code).code, ""
    except KeepingError:
        wheel = journal.wheel_by_code(code)
        return journal.makes.get(wheel.make_id).code, wheel.code


def _wholes(journal: Journal, make: str, state: State) -> list[WholeMake]:
    """The newest makes and the one asked about."""
    every = journal.makes.all()
    shown = every[-MOST_MAKES:]
    shown += [one for one in every[:-MOST_MAKES] if one.code == make]
    out = []
    for done, one in enumerate(shown):
        if state.stopped():
            raise FindingError("findings.stopped")
        out.append(journal.whole(id_of(one)))
        state.progress(0.5 * (done + 1) / len(shown), worded("reports.reading-makes"))
    return out


def _studied(
    wholes: list[WholeMake], defect: str, ticked: frozenset[str], state: State
) -> tuple[ScoreTable | None, Study | None]:
    """What the journal's own findings rest on: the score of that name (all assessors give it), else
    the defect where it is named often enough."""
    state.progress(0.5, worded("reports.comparing"))
    of_score, of_defect = partial(score_table, ticked=ticked), partial(defect_table, ticked=ticked)
    for tabled in (of_score, of_defect) if defect in ATTRIBUTES else (of_defect,):
        try:
            table = tabled(wholes, defect)
            return table, study(table, permutations=ORDERS, stop=state.stopped)
        except FindingError:
            if state.stopped():
                raise
    return None, None


def _age(whole: WholeMake, wheel: str, defect: str) -> float:
    """The age in days at which the defect was first named, else at the last tasting."""
    began = whole.make.started_ms
    named = [one.at_ms for one in whole.named
             if one.term == defect and wheel in ("", one.wheel_code)]  # fmt: skip
    tasted = [one.at_ms for one in whole.scores if wheel in ("", one.wheel_code)]
    at = min(named) if named else max(tasted, default=None)
    return math.nan if at is None else (at - began) / DAY_MS

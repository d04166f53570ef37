"""The study of one score or defect, made of every make of the journal; runs in the background."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace

from journal.background import State
from journal.findings import FindingError, study
from journal.findings.adjustable import MadeByPlan
from journal.findings.answer import StudiedMake, StudyAnswer
from journal.findings.defect_table import defect_table
from journal.findings.further import FURTHER as ALL_FURTHER
from journal.findings.further import FurtherVariable
from journal.findings.next_make import next_make
from journal.findings.plan_variables import PLAN_VARIABLES
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.table import ScoreTable
from journal.findings.variables import further_variables, score_table, value_of
from journal.keeping import Journal
from journal.records import id_of
from journal.records.whole import WholeMake
from journal.wording import worded

DEFECT = "defect: "  # before a term, where a defect is asked about and not a score
A_YEAR = "makes a year"
"""The journal's setting of how many makes a year its maker says there are."""
MANNER = "next make"
"""The journal's setting of how the next make is proposed: careful, bold or one."""
FURTHER = "further variables"
"""The journal's setting of which further variables are looked at: their keys, as JSON."""
READING_SHARE = 0.6  # of the work, as far as it can be estimated


def look_at(journal: Journal, score: str, state: State) -> StudyAnswer:
    """Read every make and study the score, or the defect where its term follows `DEFECT`.

    Raises
    ------
    FindingError
        When there is nothing to study, or the work was stopped.
    """
    found: dict[str, MadeByPlan] = {}

    def reading(share: float) -> None:
        words = worded("reports.reading-makes" if share < 1 else "reports.adjusting")
        state.progress(READING_SHARE * share, words)

    def studying(share: float) -> None:
        state.progress(READING_SHARE + (1 - READING_SHARE) * share, worded("reports.comparing"))

    wholes = noting(journal.wholes(state.stopped, reading), found)
    is_defect = score.startswith(DEFECT)
    table = (
        defect_table(wholes, score.removeprefix(DEFECT), ticked_in(journal))
        if is_defect
        else score_table(wholes, score, ticked=ticked_in(journal))
    )
    result = study(table, progress=studying, stop=state.stopped)
    makes = {
        code: StudiedMake(found[code].make_id, found[code].started_ms, found[code].plan)
        for code in set(table.make)
    }
    year = years_makes(journal)
    following = next_make(table, result, with_values(found, table), a_year=year, stop=state.stopped)
    return StudyAnswer(table, result, makes, following)


def ticked_in(journal: Journal) -> frozenset[str]:
    """The keys of the further variables that the journal looks at."""
    try:
        keys = json.loads(journal.setting(FURTHER) or "[]")
    except ValueError:
        return frozenset()
    ticked = [str(key) for key in keys] if isinstance(keys, list) else []
    return frozenset(ticked) & {variable.key for variable in ALL_FURTHER}


def tick_in(journal: Journal, keys: Iterable[str]) -> None:
    """Set which further variables the journal looks at."""
    journal.set_setting(FURTHER, json.dumps(sorted(keys)))


def look_for_further(journal: Journal, score: str, state: State) -> list[FurtherVariable]:
    """What findings about a score, or a defect, leave out by default, and why; FindingError when
    the work was stopped."""

    def reading(share: float) -> None:
        state.progress(share, worded("reports.reading-makes"))

    wholes = journal.wholes(state.stopped, reading)
    found = further_variables(
        wholes, None if score.startswith(DEFECT) else score, ticked_in(journal)
    )
    if state.stopped():
        raise FindingError("findings.stopped")
    return found


def years_makes(journal: Journal) -> float | None:
    """How many makes a year the maker says there are; None where nobody said."""
    value = journal.setting(A_YEAR)
    return float(value) if value else None


def with_values(found: dict[str, MadeByPlan], table: ScoreTable) -> list[MadeByPlan]:
    """Every make with what was done: of scored ones what the table says."""
    keys = [v.key for v in table.variables]
    at = {one.key: keys.index(one.key) for one in PLAN_VARIABLES if one.key in keys}
    row = {code: i for i, code in reversed(list(enumerate(table.make)))}
    out = []
    for code, make in found.items():
        if code in row:
            done = {key: float(table.x[row[code], j]) for key, j in at.items()}
            make = replace(make, done=done)
        out.append(make)
    return out


_READ = {one.variable.key: one for one in MAKE_VARIABLES}


def noting(wholes: Iterable[WholeMake], found: dict[str, MadeByPlan]) -> Iterator[WholeMake]:
    """Pass the makes on, noting where each is to be found; of one without any score also what was
    done, since no table will say it."""
    for whole in wholes:
        done = {}
        if not whole.scores:
            done = {one.key: value_of(whole, _READ[one.key])[0] for one in PLAN_VARIABLES}
        make = whole.make
        found[make.code] = MadeByPlan(make.code, id_of(make), make.started_ms, whole.plan, done)
        yield whole

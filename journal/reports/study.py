"""The study of one score or defect, made of every make of the journal; runs in the background."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from journal.background import State
from journal.findings import study
from journal.findings.answer import StudiedMake, StudyAnswer, newest_of
from journal.findings.defect_table import defect_table
from journal.findings.next_make import next_make
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.records import id_of
from journal.records.whole import WholeMake

DEFECT = "defect: "  # before a term, where a defect is asked about and not a score
READING_SHARE = 0.6  # of the work, as far as it can be estimated


def look_at(journal: Journal, score: str, state: State) -> StudyAnswer:
    """Read every make and study the score, or the defect where its term follows `DEFECT`.

    Raises
    ------
    FindingError
        When there is nothing to study, or the work was stopped.
    """
    found: dict[str, StudiedMake] = {}

    def reading(share: float) -> None:
        words = "Reading the makes" if share < 1 else "Adjusting for assessors"
        state.progress(READING_SHARE * share, words)

    def studying(share: float) -> None:
        state.progress(READING_SHARE + (1 - READING_SHARE) * share, "Comparing the variables")

    wholes = _noting(journal.wholes(state.stopped, reading), found)
    is_defect = score.startswith(DEFECT)
    table = (
        defect_table(wholes, score.removeprefix(DEFECT))
        if is_defect
        else score_table(wholes, score)
    )
    result = study(table, progress=studying, stop=state.stopped)
    makes = {code: found[code] for code in set(table.make)}
    newest = newest_of(makes)
    following = next_make(table, result, newest, makes[newest].plan, stop=state.stopped)
    return StudyAnswer(table, result, makes, following)


def _noting(wholes: Iterable[WholeMake], found: dict[str, StudiedMake]) -> Iterator[WholeMake]:
    """Pass the makes on, noting where each is to be found."""
    for whole in wholes:
        found[whole.make.code] = StudiedMake(id_of(whole.make), whole.make.started_ms, whole.plan)
        yield whole

"""The table of a defect: in how many samples of a wheel it was named, with the make's variables."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from journal.findings.error import FindingError
from journal.findings.further import asked_for
from journal.findings.table import ScoreTable, looked_past, snake
from journal.findings.variables import columns_of, scored, useful_sums
from journal.message import Message
from journal.records.instants import DAY_MS
from journal.records.whole import NamedDefect, ScoreGiven, WholeMake

LEAST_NAMED = 3
"""A defect named on fewer samples is not looked at: nothing could be told."""
DefectUnit = tuple[str, str, float]


def defect_table(wholes: Iterable[WholeMake], term: str, ticked: Iterable[str] = ()) -> ScoreTable:
    """Which wheels have a defect, with the variables of their makes, further ones where ticked.

    A row is a wheel at an age; a sample is what one assessor gave it at one session, whether they
    named the defect or not.

    Raises
    ------
    FindingError
        When fewer than three samples name it.
    """
    further = asked_for(None, ticked)
    makes, values, _ = scored(wholes, None, further.figures)
    spelled = {
        mark.term for make in makes for mark in make.named if snake(mark.term) == snake(term)
    }
    term = min(spelled, default=term)
    samples: dict[DefectUnit, set[tuple[int, str]]] = {}
    named: dict[DefectUnit, set[tuple[int, str]]] = {}
    for make in makes:
        given: tuple[ScoreGiven | NamedDefect, ...] = (*make.scores, *make.named)
        for one in given:
            unit = (make.make.code, one.wheel_code, _age_days(make, one.at_ms))
            samples.setdefault(unit, set()).add((one.tasting_id, one.assessor))
        for mark in make.named:
            if snake(mark.term) == snake(term):
                unit = (make.make.code, mark.wheel_code, _age_days(make, mark.at_ms))
                named.setdefault(unit, set()).add((mark.tasting_id, mark.assessor))
    count = sum(len(found) for found in named.values())
    if count < LEAST_NAMED:
        raise FindingError(
            "findings.defect-named-rarely", defect=term, named=count, least=LEAST_NAMED
        )
    units = sorted(samples)
    owner = {make.make.code: make for make in makes}
    rows = [(owner[code], wheel) for code, wheel, _ in units]
    ages = np.array([age for _, _, age in units])
    variables, x, off, notes, past = columns_of(rows, values, ages, further)
    of = np.array([len(samples[unit]) for unit in units], dtype=float)
    had = np.array([len(named.get(unit, ())) for unit in units], dtype=float)
    every = int(of.sum())
    notes.append(Message("findings.defect-named", defect=term, named=count, samples=every))
    table = ScoreTable(
        score_name=term,
        make=[make.make.code for make, _ in rows],
        wheel=[wheel for _, wheel in rows],
        y=100 * had / of,
        y_se=np.full(len(rows), np.nan),
        variables=variables,
        x=x,
        assessors=len({person for found in samples.values() for _, person in found}),
        notes=[*notes, *looked_past(past)],
        named=had,
        samples=of,
        off=off,
        not_looked_at=tuple(past),
    )
    return useful_sums(table, further)


def _age_days(make: WholeMake, at_ms: int) -> float:
    """Whole days from make to tasting; NaN on the make's own day."""
    age = round((at_ms - make.make.started_ms) / DAY_MS)
    return float(age) if age >= 1 else float("nan")

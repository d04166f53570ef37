"""What was chosen for the columns of a table of past makes, kept with the journal: the next table
with a column of that name is read so, without asking."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace

from journal.exchange.past_columns import ChosenColumns, PastColumn
from journal.findings.columns import MAKE, SCORE, USED, VARIABLE
from journal.keeping import Journal

_SETTING = "columns of past makes"
_APART = "a variable of its own"
_MOST = 500  # columns that are remembered


def known_columns(journal: Journal) -> dict[str, str]:
    """What columns were taken as, by their names in small letters; {} where nothing is known."""
    try:
        found = json.loads(journal.setting(_SETTING) or "{}")
    except ValueError:
        return {}
    if not isinstance(found, dict):
        return {}
    return {str(name): word for name, word in found.items() if isinstance(word, str)}


def remember_columns(
    journal: Journal, columns: Sequence[PastColumn], chosen: ChosenColumns
) -> None:
    """Keep what a person chose, and what the journal's own variables were taken from."""
    named = {name.casefold(): word for name, word in chosen.columns.items()}
    known = known_columns(journal)
    for column in columns:
        name = column.header.casefold()
        word = named.get(name, "")
        if not word and name in {one.casefold() for one in chosen.scores}:
            word = SCORE
        if not word and name in {one.casefold() for one in chosen.apart}:
            word = _APART
        if not word and column.meaning is not None:
            word = column.role if column.role == USED else column.meaning.name
        if not word and column.role in (VARIABLE, MAKE):
            word = column.role  # it was asked about, or could be
        if word:
            known[name] = word
    if known != known_columns(journal):
        kept = dict(list(known.items())[-_MOST:])
        journal.set_setting(_SETTING, json.dumps(kept, ensure_ascii=False))


def with_known(
    header: Sequence[str], chosen: ChosenColumns, known: Mapping[str, str]
) -> ChosenColumns:
    """What was chosen, and for the columns of which nothing was chosen what is remembered."""
    settled = {name.casefold() for name in (*chosen.columns, *chosen.scores, *chosen.apart)}
    columns, scores, apart = dict(chosen.columns), list(chosen.scores), list(chosen.apart)
    before = []
    for name in header:
        word = known.get(name.casefold(), "")
        if not word or name.casefold() in settled:
            continue
        before.append(name)
        if word == SCORE:
            scores.append(name)
        elif word == _APART:
            apart.append(name)
        elif word not in (USED, VARIABLE):
            columns[name] = word
    return replace(chosen, columns=columns, scores=scores, apart=apart, known=tuple(before))

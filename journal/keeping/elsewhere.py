"""Assessors who taste elsewhere: the keys of their pages, and what they send back, taken once."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from journal.keeping.all_keepers import Keepers
from journal.keeping.errors import KeepingError
from journal.keeping.history import acts
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import ServingRow
from journal.keeping.sessions import SessionKeeper
from journal.message import Message
from journal.records import id_of
from journal.records.page_answers import (
    PageAnswer,
    PageKey,
    SentLine,
    find_line,
    read_answer,
    session_letters,
)
from journal.records.tastings import Tasting

_TAKEN = "keeping.act-take-answer"


@dataclass(frozen=True)
class AssessorPage:
    """One assessor's page: nothing in it says what a code is."""

    assessor: str
    assessor_id: int
    key: PageKey


@dataclass(frozen=True)
class SentAnswer:
    """An answer that belongs to a session of this journal, not taken yet.

    Attributes
    ----------
    given : int
        How many scores it has.
    kept : int
        How many of them replace another one that is saved.
    taken : bool
        This very answer was taken before, or all of it is saved already.
    older : bool
        The assessor's page wrote another one later, and that was taken.
    """

    tasting: Tasting
    assessor: str
    answer: PageAnswer
    all_scored: tuple[tuple[ServingRow, ScoredSample], ...]
    given: int
    kept: int
    taken: bool
    older: bool


class ElsewhereKeeper:
    """Makes the keys of pages, and takes what comes back."""

    def __init__(self, db: sqlite3.Connection, journal: Keepers, sessions: SessionKeeper) -> None:
        self._db = db
        self._journal = journal
        self._sessions = sessions

    def pages(self, tasting_id: int) -> list[AssessorPage]:
        """A page for each assessor of a session; KeepingError once it is revealed."""
        tasting = self._journal.tastings.get(tasting_id)
        if tasting.lifted_ms is not None:
            raise KeepingError("keeping.session-revealed")
        return self._pages(tasting)

    def _pages(self, tasting: Tasting) -> list[AssessorPage]:
        uuids = {one.id: one.uuid for one in self._journal.assessors.all()}
        own: dict[int, list[ServingRow]] = {}
        for one in self._sessions.servings(id_of(tasting)):
            own.setdefault(one.assessor_id, []).append(one)
        return [
            AssessorPage(
                rows[0].assessor, who,
                PageKey(tasting.uuid, uuids.get(who, ""), tuple(r.code for r in rows),
                        tasting.sheet),
            )
            for who, rows in own.items()
        ]  # fmt: skip

    def find(self, text: str) -> SentAnswer:
        """The answer in a text, checked against the sessions of this journal.

        Raises
        ------
        RecordError
            When there is none in it, or it is not whole.
        KeepingError
            When it is of no session here, of nobody in it, or the session is revealed.
        """
        line = find_line(text)
        of = (t for t in self._journal.tastings.all() if t.coded)
        tasting = next((t for t in of if session_letters(t.uuid) == line.session), None)
        if tasting is None:
            raise KeepingError("keeping.answer-of-no-session")
        pages = [one for one in self._pages(tasting) if one.key.head == line.head]
        if not pages:
            raise KeepingError("keeping.answer-of-nobody")
        if tasting.lifted_ms is not None:
            raise KeepingError("keeping.scored-blind")
        page, answer = _read(line, pages)
        return self._beside_kept(tasting, page, answer)

    def _beside_kept(self, tasting: Tasting, page: AssessorPage, answer: PageAnswer) -> SentAnswer:
        rows = [
            r for r in self._sessions.servings(id_of(tasting)) if r.assessor_id == page.assessor_id
        ]
        all_scored = []
        given = changes = kept = 0
        for row, scores, note in zip(rows, answer.scores, answer.notes, strict=True):
            new = {name: value for name, value in zip(tasting.sheet, scores, strict=True)
                   if value is not None}  # fmt: skip
            if not new and not note:
                continue
            old = self._sessions.scored(row.id) or ScoredSample()
            scored = replace(old, scores={**old.scores, **new}, note=note or old.note)
            all_scored.append((row, scored))
            given += len(new)
            changes += scored != old
            kept += sum(name in old.scores and old.scores[name] != new[name] for name in new)
            kept += bool(old.note) and scored.note != old.note
        before = list(self._taken_from(tasting, page))
        return SentAnswer(
            tasting, page.assessor, answer, tuple(all_scored), given, kept,
            taken=not changes or any(one["check"] == answer.check for one in before),
            older=any(one["turn"] > answer.turn for one in before),
        )  # fmt: skip

    def _taken_from(self, tasting: Tasting, page: AssessorPage) -> Iterator[dict[str, Any]]:
        """What was taken of a page, as the acts say that stand."""
        stands = "where undoes is null and undone_ms is null and name like ? order by id"
        for act in acts(self._db, stands, (f"%{_TAKEN}%",)):
            message = act.name
            if message.id == _TAKEN and message.values.get("page") == page.key.head:
                yield message.values

    def take(
        self, sent: SentAnswer, *, replacing: bool = False, initiator: object | None = None
    ) -> bool:
        """Save an answer as one unit; whether it was new. One that was taken changes nothing.

        Raises
        ------
        KeepingError
            When it would replace what is saved, and that was not said.
        """
        if sent.taken:
            return False
        if sent.kept and not replacing:
            raise KeepingError("keeping.answer-differs", person=sent.assessor, count=sent.kept)
        head = next(
            p.key.head for p in self.pages(id_of(sent.tasting)) if p.assessor == sent.assessor
        )
        named = Message(
            _TAKEN, person=sent.assessor, page=head, check=sent.answer.check, turn=sent.answer.turn
        )
        with self._journal.unit(named, initiator):
            for row, scored in sent.all_scored:
                self._sessions.give(row.id, scored, initiator)
        return True


def _read(line: SentLine, pages: list[AssessorPage]) -> tuple[AssessorPage, PageAnswer]:
    """Whose answer it is; two pages may have the same letters."""
    *others, last = pages
    for page in others:
        try:
            return page, read_answer(line, page.key)
        except ValueError:
            continue
    return last, read_answer(line, last.key)

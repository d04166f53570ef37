"""Panel tests as a whole: set up, answered set by set, revealed and counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from journal.keeping.all_keepers import Keepers
from journal.keeping.errors import KeepingError
from journal.keeping.session_rows import SampleIdentity
from journal.keeping.sessions import SessionKeeper
from journal.records import id_of
from journal.records.panel_tests import (
    CUPS,
    DUO_TRIO,
    PAIRED,
    PICKED,
    RANKING,
    PanelItem,
    PanelSet,
    PanelTest,
    is_right,
)


@dataclass(frozen=True)
class TestRow:
    """One test of the list, without what would give it away."""

    test: PanelTest
    cheeses: tuple[str, ...]
    sets: int
    answered: int
    right: int | None = None  # of a revealed test that knows right answers

    __test__ = False  # no test of the program's own


@dataclass(frozen=True)
class HiddenSet:
    """A set as an assessor gets it: codes, and what was answered; not what is in the cups."""

    id: int
    number: int
    assessor: str
    codes: tuple[str, ...]
    answer: tuple[int, ...]


@dataclass(frozen=True)
class AnswerCount:
    """A revealed difference test: how many answers, how many right, from how many people.

    For a paired comparison `right` counts those who named the item `named`.
    """

    answers: int
    right: int
    people: int
    named: int = 0


@dataclass(frozen=True)
class OpenedRow:
    """A set of a revealed test: what was in the cups, which were named, and whether that is right.

    `right` is None where a kind of test knows no right, or nothing was answered.
    """

    number: int
    assessor: str
    cups: tuple[str, ...]
    named: tuple[str, ...]
    right: bool | None


@dataclass(frozen=True)
class PersonAnswers:
    """What one person answered in one revealed difference test."""

    assessor: str
    kind: str
    right: int
    answers: int


class PanelTestKeeper:
    """Keeps panel tests, over the keepers of the single nouns."""

    def __init__(self, journal: Keepers, sessions: SessionKeeper) -> None:
        self._journal = journal
        self._sessions = sessions

    def set_up(
        self,
        test: PanelTest,
        cheeses: Sequence[SampleIdentity],
        people: Sequence[str],
        sets: Sequence[tuple[tuple[int, ...], tuple[str, ...]]],
        initiator: object | None = None,
    ) -> PanelTest:
        """Keep a test as one unit; `people` has a name for each of `sets` (cups, codes).

        Raises
        ------
        KeepingError
            When nobody is named, or the cheeses are one and the same.
        """
        if not sets:
            raise KeepingError("keeping.nobody-tastes")
        if len(set(cheeses)) < max(2, len(cheeses)):
            raise KeepingError("keeping.same-cheese")
        for cheese in cheeses:
            if cheese.wheel_id is not None:
                self._sessions.wheel_made_by(cheese.wheel_id, test.at_ms)
        with self._journal.unit("keeping.act-lay-out-test", initiator, kind=test.kind):
            saved = self._journal.panel_tests.save(test)
            self._journal.panel_items.save_many(
                PanelItem(id_of(saved), number, c.wheel_id, c.reference)
                for number, c in enumerate(cheeses)
            )
            for number, (name, (cups, codes)) in enumerate(zip(people, sets, strict=True)):
                who = self._sessions.known_or_new(name)
                self._journal.panel_sets.save(
                    PanelSet(id_of(saved), number, id_of(who), cups, codes)
                )
        return saved

    def rows(self) -> list[TestRow]:
        """Every test, newest first."""
        out = []
        for test in self._journal.panel_tests.all()[::-1]:
            sets = self._sets(id_of(test))
            done = [one for one in sets if one.answer]
            right = None
            if test.lifted_ms is not None and test.kind not in (PAIRED, RANKING):
                right = sum(is_right(test.kind, one.cups, one.answer) for one in done)
            cheeses = tuple(self.cheeses(id_of(test)))
            out.append(TestRow(test, cheeses, len(sets), len(done), right))
        return sorted(out, key=_newest_first)

    def cheeses(self, test_id: int) -> list[str]:
        """The cheeses of a test by number: wheels' codes, or names."""
        items = self._journal.panel_items.where(panel_test_id=test_id)
        return [
            self._journal.wheels.get(item.wheel_id).code if item.wheel_id else item.reference
            for item in sorted(items, key=_number)
        ]

    def sets(self, test_id: int) -> list[HiddenSet]:
        """The sets in order, without what is in the cups."""
        names = {a.id: a.name for a in self._journal.assessors.all()}
        return [
            HiddenSet(id_of(s), s.number, names.get(s.assessor_id, ""), s.codes, s.answer)
            for s in self._sets(test_id)
        ]

    def _sets(self, test_id: int) -> list[PanelSet]:
        return sorted(self._journal.panel_sets.where(panel_test_id=test_id), key=_number)

    def answer(self, set_id: int, places: Sequence[int], initiator: object | None = None) -> None:
        """Keep which cups were named (places from 0; for a ranking all of them, the most first).

        Raises
        ------
        KeepingError
            When too many or too few are named, the open reference is, or the test is revealed.
        """
        one = self._journal.panel_sets.get(set_id)
        test = self._journal.panel_tests.get(one.panel_test_id)
        if test.lifted_ms is not None:
            raise KeepingError("keeping.answered-blind")
        wanted = len(one.cups) if test.kind == RANKING else PICKED[test.kind]
        if len(places) not in (0, wanted) or len(set(places)) < len(places):
            if wanted == 1:
                raise KeepingError("keeping.names-one-cup", kind=test.kind)
            raise KeepingError("keeping.names-cups", kind=test.kind, cups=wanted)
        if test.kind == DUO_TRIO and 0 in places:
            raise KeepingError("keeping.reference-named")
        with self._journal.unit("keeping.act-answer", initiator, number=one.number + 1):
            self._journal.panel_sets.save(replace(one, answer=tuple(places)))

    def key(self, test_id: int) -> list[tuple[str, tuple[tuple[str, str], ...]]]:
        """For the helper alone: whose set, and for each cup its code and what goes in.

        The open reference has no code, "".
        """
        names, cheeses = self.sets(test_id), self.cheeses(test_id)
        return [
            (row.assessor, tuple((code, cheeses[cup])
                                 for code, cup in zip(one.codes, one.cups, strict=True)))
            for row, one in zip(names, self._sets(test_id), strict=True)
        ]  # fmt: skip

    def reveal(self, test_id: int, at_ms: int, initiator: object | None = None) -> PanelTest:
        """Reveal it; KeepingError when there is no answer yet, or it is revealed already."""
        test = self._journal.panel_tests.get(test_id)
        if test.lifted_ms is not None:
            raise KeepingError("keeping.test-lifted")
        if not any(one.answer for one in self._sets(test_id)):
            raise KeepingError("findings.no-answer-yet")
        with self._journal.unit("keeping.act-lift-cloth", initiator):
            return self._journal.panel_tests.save(replace(test, lifted_ms=at_ms))

    def counted(self, test_id: int) -> AnswerCount:
        """How many were right; KeepingError while the test is hidden."""
        test, answered = self._revealed(test_id)
        people = self.people(test_id)
        if test.kind == PAIRED:
            picks = [one.cups[one.answer[0]] for one in answered]
            named = test.expected
            if named is None:
                named = 0 if picks.count(0) >= picks.count(1) else 1
            return AnswerCount(len(picks), picks.count(named), people, named)
        right = sum(is_right(test.kind, one.cups, one.answer) for one in answered)
        return AnswerCount(len(answered), right, people)

    def opened(self, test_id: int) -> list[OpenedRow]:
        """Every set of a revealed test with what was in its cups; KeepingError while it is
        blind."""
        test, _ = self._revealed(test_id)
        cheeses, people = self.cheeses(test_id), self.sets(test_id)
        out = []
        for row, one in zip(people, self._sets(test_id), strict=True):
            known = test.kind not in (PAIRED, RANKING) and bool(one.answer)
            out.append(
                OpenedRow(
                    one.number,
                    row.assessor,
                    tuple(cheeses[cup] for cup in one.cups),
                    tuple(cheeses[one.cups[index]] for index in one.answer),
                    is_right(test.kind, one.cups, one.answer) if known else None,
                )
            )
        return out

    def ranked(self, test_id: int) -> list[list[int]]:
        """For each answered set of a revealed ranking, the rank (1 the most) of each cheese."""
        test, answered = self._revealed(test_id)
        if test.kind in CUPS:
            raise KeepingError("keeping.ranks-nothing", kind=test.kind)
        out = []
        for one in answered:
            order = [one.cups[index] for index in one.answer]
            out.append([order.index(item) + 1 for item in range(len(order))])
        return out

    def by_person(self) -> list[PersonAnswers]:
        """What each person told apart in each revealed test that knows right answers."""
        names = {a.id: a.name for a in self._journal.assessors.all()}
        out = []
        for test in self._journal.panel_tests.all():
            if test.lifted_ms is None or test.kind in (PAIRED, RANKING):
                continue
            own: dict[int, list[bool]] = {}
            for one in self._sets(id_of(test)):
                if one.answer:
                    right = is_right(test.kind, one.cups, one.answer)
                    own.setdefault(one.assessor_id, []).append(right)
            out += [PersonAnswers(names.get(who, ""), test.kind, sum(found), len(found))
                    for who, found in own.items()]  # fmt: skip
        return out

    def people(self, test_id: int) -> int:
        """How many people gave the answers of a revealed test."""
        return len({one.assessor_id for one in self._revealed(test_id)[1]})

    def _revealed(self, test_id: int) -> tuple[PanelTest, list[PanelSet]]:
        test = self._journal.panel_tests.get(test_id)
        if test.lifted_ms is None:
            raise KeepingError("keeping.test-covered")
        return test, [one for one in self._sets(test_id) if one.answer]


def _number(record: PanelItem | PanelSet) -> int:
    return record.number


def _newest_first(row: TestRow) -> tuple[int, int]:
    return -row.test.at_ms, -id_of(row.test)

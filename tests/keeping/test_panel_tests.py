"""Panel tests on a real file: laid out, answered, lifted, counted."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from journal.findings import FindingError
from journal.findings.setting_up import ARRANGED, set_up_sets
from journal.keeping import Journal, KeepingError
from journal.keeping.session_rows import SampleIdentity
from journal.message import Message
from journal.records import RecordError
from journal.records.panel_tests import (
    DUO_TRIO,
    PAIRED,
    RANKING,
    TETRAD,
    TRIANGLE,
    TWO_OF_FIVE,
    PanelTest,
    is_right,
)
from tests.refusals import refused

AT = 1_780_000_000_000
A, B, C = (
    SampleIdentity(None, "first"),
    SampleIdentity(None, "second"),
    SampleIdentity(None, "third"),
)


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.create(tmp_path / "kitchen.vatside", zone="Europe/London") as made:
        yield made
        assert not made.within_unit
        assert made.check() == []


def set_up(journal: Journal, kind: str, sets: int = 6, **of) -> PanelTest:
    found = set_up_sets(kind, sets, seed=5, items=3 if kind == RANKING else 2)
    cheeses = [A, B, C][: 3 if kind == RANKING else 2]
    people = [f"Taster {n + 1}" for n in range(sets)]
    test = PanelTest(AT, "Europe/London", kind, **of)
    return journal.tests.set_up(test, cheeses, people, [(s.cups, s.codes) for s in found])


@pytest.mark.parametrize("kind", sorted(ARRANGED))
def test_every_arrangement_comes_equally_often_and_every_code_once(kind):
    ways = ARRANGED[kind]
    sets = set_up_sets(kind, 3 * len(ways), seed=1)
    assert Counter(s.cups for s in sets) == dict.fromkeys(ways, 3)
    codes = [code for s in sets for code in s.codes if code]
    assert len(set(codes)) == len(codes)
    assert all((s.codes[0] == "") == (kind == DUO_TRIO) for s in sets)


def test_the_ways_to_serve_are_all_there_are():
    assert {kind: len(ways) for kind, ways in ARRANGED.items()} == {
        TRIANGLE: 6, DUO_TRIO: 4, PAIRED: 2, TETRAD: 6, TWO_OF_FIVE: 20,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "cups", "answer", "right"),
    [
        (TRIANGLE, (0, 0, 1), (2,), True), (TRIANGLE, (0, 0, 1), (0,), False),
        (TRIANGLE, (1, 0, 1), (1,), True), (DUO_TRIO, (0, 1, 0), (2,), True),
        (DUO_TRIO, (0, 1, 0), (1,), False), (TWO_OF_FIVE, (0, 1, 0, 1, 0), (1, 3), True),
        (TWO_OF_FIVE, (0, 1, 0, 1, 0), (0, 2), False),
        (TWO_OF_FIVE, (0, 1, 0, 1, 0), (0, 1), False),
        (TETRAD, (0, 1, 0, 1), (0, 2), True), (TETRAD, (0, 1, 0, 1), (3, 1), True),
        (TETRAD, (0, 1, 0, 1), (0, 1), False), (TETRAD, (0, 0, 1, 1), (1, 2), False),
    ],
)  # fmt: skip
def test_what_is_right(kind, cups, answer, right):
    assert is_right(kind, cups, answer) is right


def test_an_answer_of_another_length_is_refused():
    with pytest.raises(RecordError):
        is_right(TRIANGLE, (0, 0, 1), (0, 1))
    with pytest.raises(RecordError):
        is_right(PAIRED, (0, 1), (0,))


@pytest.mark.parametrize("kind", [TRIANGLE, DUO_TRIO, TETRAD, TWO_OF_FIVE])
def test_right_answers_are_counted_once_the_cloth_is_lifted(journal, kind):
    test = set_up(journal, kind)
    cups = [one.cups for one in journal.panel_sets.where(panel_test_id=test.id)]
    for row, own in zip(journal.tests.sets(test.id)[:5], cups, strict=False):
        assert not hasattr(row, "cups")
        journal.tests.answer(row.id, _right(kind, own))
    with refused(KeepingError, "keeping.test-covered"):
        journal.tests.counted(test.id)
    assert (journal.tests.rows()[0].answered, journal.tests.rows()[0].sets) == (5, 6)
    assert journal.tests.by_person() == []
    journal.tests.reveal(test.id, AT + 1)
    found = journal.tests.counted(test.id)
    assert (found.right, found.answers) == (5, 5)
    output = journal.tests.by_person()
    assert {one.assessor for one in output} == {f"Taster {n}" for n in range(1, 6)}
    assert {(one.kind, one.right, one.answers) for one in output} == {(kind, 1, 1)}
    with refused(KeepingError, "keeping.answered-blind"):
        journal.tests.answer(journal.tests.sets(test.id)[5].id, _right(kind, cups[5]))
    assert journal.undo() == Message("keeping.act-lift-cloth")


def _right(kind: str, cups: tuple[int, ...]) -> tuple[int, ...]:
    if kind == DUO_TRIO:
        return (cups.index(cups[0], 1),)
    odd = min((0, 1), key=cups.count)
    return tuple(place for place, item in enumerate(cups) if item == odd)


def test_a_paired_comparison_counts_the_one_named_more_often_or_the_one_foreseen(journal):
    for expected, named, right in ((None, 1, 4), (0, 0, 2)):
        test = set_up(journal, PAIRED, attribute="bitter", expected=expected)
        for row, one in zip(journal.tests.sets(test.id), (1, 1, 0, 1, 0, 1), strict=True):
            cups = journal.panel_sets.get(row.id).cups
            journal.tests.answer(row.id, (cups.index(one),))
        journal.tests.reveal(test.id, AT)
        found = journal.tests.counted(test.id)
        assert (found.answers, found.right, found.named) == (6, right, named)


def test_a_ranking_is_read_by_cheese(journal):
    test = set_up(journal, RANKING, sets=4, attribute="salt")
    for row in journal.tests.sets(test.id):
        cups = journal.panel_sets.get(row.id).cups
        journal.tests.answer(row.id, tuple(cups.index(item) for item in (2, 0, 1)))
    journal.tests.reveal(test.id, AT)
    assert journal.tests.ranked(test.id) == [[2, 3, 1]] * 4
    other = set_up(journal, TRIANGLE)
    with refused(KeepingError, "keeping.test-covered"):
        journal.tests.ranked(other.id)
    journal.tests.answer(journal.tests.sets(other.id)[0].id, (0,))
    journal.tests.reveal(other.id, AT)
    with refused(KeepingError, "keeping.ranks-nothing", kind=TRIANGLE):
        journal.tests.ranked(other.id)


def test_an_answer_names_as_many_cups_as_it_should(journal):
    triangle, duo = set_up(journal, TRIANGLE), set_up(journal, DUO_TRIO)
    one = journal.tests.sets(triangle.id)[0].id
    with refused(KeepingError, "keeping.names-one-cup", kind=TRIANGLE):
        journal.tests.answer(one, (0, 1))
    with refused(KeepingError, "keeping.reference-named"):
        journal.tests.answer(journal.tests.sets(duo.id)[0].id, (0,))
    with pytest.raises(RecordError):
        journal.tests.answer(one, (3,))
    journal.tests.answer(one, (1,))
    journal.tests.answer(one, ())
    assert journal.tests.sets(triangle.id)[0].answer == ()
    with refused(KeepingError, "findings.no-answer-yet"):
        journal.tests.reveal(triangle.id, AT)


def test_what_cannot_be_laid_out_is_refused(journal):
    with refused(RecordError, "records.test-attribute", kind=PAIRED):
        PanelTest(AT, "UTC", PAIRED)
    with refused(KeepingError, "keeping.same-cheese"):
        journal.tests.set_up(PanelTest(AT, "UTC", TRIANGLE), [A, A], ["Orla"], [((0, 0, 1), "123")])
    for kind, sets, items in ((TRIANGLE, 0, 2), (TRIANGLE, 2, 3), (RANKING, 2, 2)):
        with pytest.raises(FindingError):
            set_up_sets(kind, sets, 1, items)


def test_the_helpers_key_says_what_goes_into_each_cup(journal):
    test = set_up(journal, DUO_TRIO, sets=2)
    for (who, cups), row in zip(
        journal.tests.key(test.id), journal.tests.sets(test.id), strict=True
    ):
        assert who == row.assessor
        assert [code for code, _ in cups] == ["", *row.codes[1:]]
        assert {name for _, name in cups} == {"first", "second"}


@pytest.mark.parametrize("kind", [TRIANGLE, PAIRED])
def test_every_set_is_opened_once_the_cloth_is_lifted(journal, kind):
    test = set_up(journal, kind, 3, attribute="bitter" if kind == PAIRED else "")
    sets = journal.panel_sets.all()
    journal.tests.answer(sets[0].id, (0,))
    with refused(KeepingError, "keeping.test-covered"):
        journal.tests.opened(test.id)
    journal.tests.reveal(test.id, AT)
    rows = journal.tests.opened(test.id)
    names = ("first", "second")
    assert [row.cups for row in rows] == [tuple(names[c] for c in s.cups) for s in sets]
    assert rows[0].named == (names[sets[0].cups[0]],)
    alone = sets[0].cups.count(sets[0].cups[0]) == 1
    assert rows[0].right == (alone if kind == TRIANGLE else None)
    assert rows[1].named == ()
    assert rows[1].right is None

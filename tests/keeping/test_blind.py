"""Blind sessions on a real file: laid out, given, lifted, and told nowhere before that."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import pytest

from journal.findings.setting_up import SessionDesign, create_joiner, set_up_session
from journal.keeping import Journal, KeepingError
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing, SampleIdentity
from journal.message import Message
from journal.records.due import tastings_due
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.tastings import BY_ASSESSOR, BY_SAMPLE, SHUFFLED, Tasting
from journal.wording import text_of
from tests.refusals import refused

ZONE = "Europe/London"
MADE = from_iso("2026-03-01T08:00", ZONE)
EVENING = from_iso("2026-06-01T19:30", ZONE)
PEOPLE = ("Orla", "Tam", "Wen")
PNG = b"\x89PNG\r\n\x1a\n" + bytes(40)


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone=ZONE) as made:
        plan = Plan("Plain", (Stage("warm", 30.0, target_c=31.0),), taste_at_days=(90.0,))
        make = made.makes.begin(plan, Milk(12.0), MADE)
        made.makes.finish(make.id, [0.6, 0.5, 0.5], MADE + DAY_MS // 4)
        yield made
        assert not made.within_unit
        assert made.check() == []


def set_up(
    journal: Journal, coding: str, people=PEOPLE, double=False
) -> tuple[Tasting, SessionDesign]:
    cheeses = [SampleIdentity(w.id) for w in journal.wheels.all()] + [
        SampleIdentity(None, "Abbey shop")
    ]
    if double:
        cheeses.append(cheeses[0])
    found = set_up_session(cheeses, len(people), coding, seed=3)
    tasting = journal.sessions.set_up(
        Tasting(EVENING, ZONE, coding=coding, attributes=("overall", "grassy")),
        cheeses, people, found.orders, found.codes, found.labels,
    )  # fmt: skip
    return tasting, found


def give_all(journal: Journal, tasting: Tasting) -> None:
    for row in journal.sessions.servings(tasting.id):
        journal.sessions.give(
            row.id, ScoredSample({"overall": row.position / 2 + 5, "grassy": 2.0})
        )


@pytest.mark.parametrize("coding", [BY_SAMPLE, BY_ASSESSOR])
def test_everyone_gets_every_sample_in_their_order(journal, coding):
    tasting, found = set_up(journal, coding)
    rows = journal.sessions.servings(tasting.id)
    assert [r.assessor for r in rows] == [name for name in PEOPLE for _ in range(4)]
    assert [r.position for r in rows] == [0, 1, 2, 3] * 3
    assert [r.code for r in rows] == [code for own in found.codes for code in own]
    assert len({r.code for r in rows}) == (4 if coding == BY_SAMPLE else 12)
    assert journal.undo() == Message("keeping.act-lay-out-sitting")
    assert journal.tastings.all() == journal.servings.all() == journal.samples.all() == []
    journal.redo()
    assert journal.sessions.servings(tasting.id) == rows


def test_nothing_is_told_until_the_cloth_is_lifted(journal):
    tasting, _ = set_up(journal, BY_SAMPLE)
    row = journal.sessions.servings(tasting.id)[0]
    journal.sessions.give(
        row.id, ScoredSample({"overall": 7.5}, (("flavour", "bitter", "slight"),), "nutty")
    )
    names = {w.code for w in journal.wheels.all()} | {"Abbey shop"}
    assert not names & {str(value) for value in asdict(row).values()}
    assert journal.undo_name is not None
    assert not any(name in text_of(journal.undo_name) for name in names)
    for wheel in journal.wheels.all():
        assert journal.sessions.of_wheel(wheel.id) == []
    assert journal.sessions.of_session(tasting.id) == journal.sessions.all() == []
    assert journal.sessions.attributes() == journal.sessions.for_panel("overall") == []
    assert journal.sessions.named_defects() == []
    assert all(w.tasted == 0 for w in journal.sessions.wheels())
    whole = journal.whole(journal.makes.by_code("latest").id)
    assert whole.scores == whole.defects == ()
    assert [r.best_score for r in journal.makes.rows()] == [None]
    assert len(tastings_due(journal.care_tasks.lives(), EVENING)) == 1
    with refused(KeepingError, "keeping.session-hidden"):
        journal.sessions.revealed_rows(tasting.id)


def test_lifted_each_sample_says_what_it_was(journal):
    tasting, found = set_up(journal, BY_SAMPLE, double=True)
    give_all(journal, tasting)
    journal.sessions.reveal(tasting.id, EVENING + 1)
    shown = journal.sessions.revealed_rows(tasting.id)
    assert [u.name for u in shown] == [
        "HL-0001-A", "HL-0001-B", "HL-0001-C", "Abbey shop", "HL-0001-A",
    ]  # fmt: skip
    assert [u.codes for u in shown] == [(label,) for label in found.labels]
    for number, one in enumerate(shown):
        wanted = {name: order.index(number) / 2 + 5
                  for name, order in zip(PEOPLE, found.orders, strict=True)}  # fmt: skip
        assert {who: card.scores["overall"] for who, card in one.all_scored} == wanted
    doubles = [p for p in journal.sessions.for_panel("overall") if p.cheese == "HL-0001-A"]
    assert len(doubles) == 6
    assert len({p.sample_id for p in doubles}) == 2
    assert len(journal.whole(journal.makes.by_code("latest").id).scores) == 4 * 3 * 2
    assert journal.undo() == Message("keeping.act-lift-cloth")
    assert journal.sessions.all() == []


def test_what_was_given_blind_stays_after_the_cloth_is_lifted(journal):
    tasting, _ = set_up(journal, BY_SAMPLE)
    give_all(journal, tasting)
    row = journal.sessions.servings(tasting.id)[0]
    journal.sessions.give(row.id, ScoredSample({"overall": 9.0}))
    assert journal.sessions.scored(row.id) == ScoredSample({"overall": 9.0})
    journal.sessions.reveal(tasting.id, EVENING)
    with refused(KeepingError, "keeping.scored-blind"):
        journal.sessions.give(row.id, ScoredSample({"overall": 1.0}))
    with refused(KeepingError, "keeping.session-revealed"):
        journal.sessions.reveal(tasting.id, EVENING)


def test_a_helpers_shuffle_gives_each_cup_its_cheese_at_the_end(journal):
    tasting, found = set_up(journal, SHUFFLED, people=("Orla",))
    assert [r.code for r in journal.sessions.servings(tasting.id)] == [
        str(i + 1) for i in found.orders[0]
    ]
    for row in journal.sessions.servings(tasting.id):
        journal.sessions.give(row.id, ScoredSample({"overall": float(row.code)}))
    by_name = {row.cheese: row.code for row in journal.sessions.key(tasting.id)}
    order = ["Abbey shop", "HL-0001-C", "HL-0001-A", "HL-0001-B"]
    with refused(KeepingError, "keeping.codes-under-cups"):
        journal.sessions.reveal(tasting.id, EVENING, {1: "000"})
    journal.sessions.reveal(
        tasting.id, EVENING, {n + 1: by_name[name] for n, name in enumerate(order)}
    )
    got = {
        u.name: u.all_scored[0][1].scores["overall"]
        for u in journal.sessions.revealed_rows(tasting.id)
    }
    assert got == {name: float(n + 1) for n, name in enumerate(order)}


def test_the_helpers_key_names_every_code(journal):
    tasting, found = set_up(journal, BY_SAMPLE)
    assert [row.code for row in journal.sessions.key(tasting.id)] == found.labels
    other, found = set_up(journal, BY_ASSESSOR)
    key = journal.sessions.key(other.id)
    assert {row.assessor for row in key} == set(PEOPLE)
    assert sorted(row.code for row in key) == sorted(c for own in found.codes for c in own)


def test_open_scoring_of_the_same_day_keeps_away_from_the_cloth(journal):
    tasting, _ = set_up(journal, BY_SAMPLE)
    a = journal.wheel_by_code("HL-0001-A")
    journal.sessions.give(OpenServing(a.id, "Orla", EVENING), ScoredSample({"overall": 4.0}))
    assert len(journal.tastings.all()) == 2
    assert journal.sessions.hidden_sessions() == [tasting]
    assert journal.sessions.scored(OpenServing(a.id, "Orla", EVENING)) == ScoredSample(
        {"overall": 4.0}
    )
    assert all(row.given == 0 for row in journal.sessions.servings(tasting.id))


def test_a_photo_goes_into_the_journals_folder_under_a_name_that_says_nothing(journal, tmp_path):
    source = tmp_path / "HL-0001-A cut.png"
    source.write_bytes(PNG)
    name = journal.photos.bring(source)
    assert "0001" not in name
    assert journal.photos.file(name).read_bytes() == PNG
    tasting, _ = set_up(journal, BY_SAMPLE)
    row = journal.sessions.servings(tasting.id)[0]
    journal.sessions.give(row.id, ScoredSample(photo=name))
    assert journal.sessions.scored(row.id).photo == name
    assert journal.photos.all() == [journal.photos.file(name)]
    source.write_text("no picture")
    with refused(KeepingError, "keeping.photo-unknown", photo="HL-0001-A cut.png"):
        journal.photos.bring(source)
    journal.photos.file(name).unlink()
    assert journal.photos.missing() == [name]
    journal.undo()


@pytest.mark.parametrize(
    ("people", "cheeses", "at_ms", "output"),
    [
        ((), [SampleIdentity(1)], EVENING, "keeping.nobody-tastes"),
        (("Orla",), [], EVENING, "keeping.nothing-to-taste"),
        (("Orla", " orla "), [SampleIdentity(1)], EVENING, "keeping.same-person-twice"),
        (("Orla",), [SampleIdentity(1)], MADE - DAY_MS, "keeping.tasted-before-made"),
    ],
)
def test_what_cannot_be_laid_out_is_refused(journal, people, cheeses, at_ms, output):
    many = [[0]] * len(people)
    with refused(KeepingError, output):
        journal.sessions.set_up(
            Tasting(at_ms, ZONE, coding=BY_SAMPLE), cheeses, people, many,
            [["481"]] * len(people), ["481"] * len(cheeses),
        )  # fmt: skip
    assert journal.tastings.all() == journal.assessors.all() == []


def test_of_a_layout_that_lacks_a_code_nothing_is_kept(journal):
    cheeses = [SampleIdentity(1), SampleIdentity(2)]
    with pytest.raises(ValueError, match="shorter"):
        journal.sessions.set_up(
            Tasting(EVENING, ZONE, coding=BY_SAMPLE), cheeses, ["Orla"], [[0, 1]], [["481"]],
            ["481", "733"],
        )  # fmt: skip
    assert journal.tastings.all() == journal.samples.all() == journal.servings.all() == []


@pytest.mark.parametrize("coding", [BY_SAMPLE, BY_ASSESSOR, SHUFFLED])
def test_someone_joins_after_the_laying_out(journal, coding):
    tasting, _ = set_up(journal, coding)
    give_all(journal, tasting)
    board = journal.sessions.board(tasting.id)
    before = journal.sessions.servings(tasting.id)
    order, codes = create_joiner(
        board.cheeses, board.orders, board.labels, board.taken, coding, seed=8
    )
    assert sorted(order) == [0, 1, 2, 3]
    journal.sessions.join(tasting.id, " Ida ", order, codes)
    rows = journal.sessions.servings(tasting.id)
    assert rows[:12] == before
    fresh = rows[12:]
    assert [(r.assessor, r.position, r.given) for r in fresh] == [("Ida", k, 0) for k in range(4)]
    by_sample = {r.sample_id: r.code for r in before}
    if coding == BY_ASSESSOR:
        assert not {r.code for r in fresh} & {r.code for r in before}
    else:
        assert all(by_sample[r.sample_id] == r.code for r in fresh)
    with refused(KeepingError, "keeping.sits-already", person="ida"):
        journal.sessions.join(tasting.id, "ida", order, codes)
    assert journal.undo() == Message("keeping.act-join-sitting", person="Ida")
    assert journal.sessions.servings(tasting.id) == before


def test_nobody_joins_once_the_cloth_is_lifted(journal):
    tasting, _ = set_up(journal, BY_SAMPLE)
    give_all(journal, tasting)
    board = journal.sessions.board(tasting.id)
    journal.sessions.reveal(tasting.id, EVENING)
    with refused(KeepingError, "keeping.session-revealed"):
        journal.sessions.join(tasting.id, "Ida", board.orders[0], board.labels)
    with refused(KeepingError, "keeping.session-revealed"):
        journal.sessions.board(tasting.id)


def test_a_joiner_evens_out_the_places(journal):
    tasting, found = set_up(journal, BY_SAMPLE)
    board = journal.sessions.board(tasting.id)
    assert [list(order) for order in board.orders] == found.orders
    order, _ = create_joiner(board.cheeses, board.orders, board.labels, (), BY_SAMPLE, seed=1)
    for place, sample in enumerate(order):  # four samples, three have sat: one place is free
        assert sample not in {row[place] for row in found.orders}


def test_every_blind_sitting_is_listed_with_how_far_it_is(journal):
    first, _ = set_up(journal, BY_SAMPLE)
    give_all(journal, first)
    second, _ = set_up(journal, BY_ASSESSOR, people=("Orla",))
    rows = journal.sessions.rows()
    assert [row.tasting.id for row in rows] == [second.id, first.id]
    assert [(row.samples, row.servings, row.given) for row in rows] == [(4, 4, 0), (4, 12, 12)]
    assert rows[1].people == PEOPLE

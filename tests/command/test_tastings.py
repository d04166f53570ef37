"""score: assessors, sessions, attributes."""

from __future__ import annotations

import pytest

from journal.keeping import Journal


def given(path):
    with Journal.open(path) as journal:
        whole = journal.whole(journal.makes.by_code("latest").id)
    return {(s.wheel_code, s.tasting_id, s.assessor, s.attribute): s.value for s in whole.scores}


def test_scores_are_kept_and_a_new_assessor_made(finished, run):
    words = ("overall=7.5", "salt=6,5", "bitter=0")
    done = run("score", finished, "hl-0001-a", "--assessor", "Moss", *words,
               "--at", "2026-09-14", "--json")  # fmt: skip
    assert done.code == 0, done
    assert set(done.data) == {"wheel", "assessor", "tasted_at", "scores", "replaced"}
    assert done.data["scores"] == {"overall": 7.5, "salt": 6.5, "bitter": 0.0}
    found = {key[3]: value for key, value in given(finished).items()}
    assert found == {"overall": 7.5, "salt": 6.5, "bitter": 0.0}


def test_one_day_is_one_sitting_in_the_journals_zone(finished, run):
    def score(wheel, name, at):
        assert run("score", finished, wheel, "--assessor", name, "overall=7", "--at", at).code == 0

    score("HL-0001-A", "Moss", "2026-09-14T10:00")
    score("HL-0001-A", "Fern", "2026-09-14T22:00")
    score("HL-0001-B", "Fern", "2026-09-14T23:30Z")  # 00:30 on the 15th at home
    score("HL-0001-A", "Moss", "2026-11-14T10:00")
    sessions = {key[:3]: key[1] for key in given(finished)}
    first = {key[1] for key in sessions if key[0] == "HL-0001-A"}
    assert len(first) == 2
    assert {key[1] for key in sessions if key[0] == "HL-0001-B"}.isdisjoint(first)


def test_a_second_score_for_the_attribute_takes_the_place_of_the_first(finished, run):
    for words in (("overall=7", "salt=5"), ("overall=8",)):
        run("score", finished, "HL-0001-A", "--assessor", "moss ", *words, "--at", "2026-09-14")
    found = {key[3]: value for key, value in given(finished).items()}
    assert found == {"overall": 8.0, "salt": 5.0}


def test_a_word_of_ones_own_will_do_and_is_said(finished, run):
    done = run("score", finished, "HL-0001-A", "--assessor", "Moss", "nutty=6")
    assert done.code == 0
    assert "“nutty” is a new attribute of your own." in done.out


@pytest.mark.parametrize(
    "words",
    [
        ["overall=7.25"],
        ["overall=10.5"],
        ["overall=-1"],
        ["overall=good"],
        ["overall"],
        ["overall="],
        ["overal=7"],  # a delay of the pen
        ["x1=7"],
        ["overall=7", "overall=8"],
        ["overall=7", "--at", "2026-07-13"],  # before the make
        [],
    ],
)
def test_impossible_scores_are_refused_and_nothing_is_kept(finished, refused, words):
    refused("score", finished, "HL-0001-A", "--assessor", "Moss", *words)
    with Journal.open(finished) as journal:
        assert journal.assessors.all() == []
        assert journal.scores.all() == []


def test_an_unknown_wheel_and_a_nameless_assessor_are_refused(finished, refused):
    assert "HL-0001-Z" in refused("score", finished, "HL-0001-Z", "--assessor", "M", "overall=7")
    refused("score", finished, "HL-0001-A", "--assessor", " ", "overall=7")


def test_a_score_that_takes_the_place_of_another_says_so(finished, run):
    words = ("score", finished, "HL-0001-A", "--assessor", "Moss", "--at", "2026-08-14T19:00")
    assert "replaced" not in run(*words, "overall=7", "salt=5").out
    assert "overall 6.5 (replaced 7.0), bitter 1.0." in run(*words, "overall=6.5", "bitter=1").out


def test_an_attribute_may_be_written_in_any_capitals(finished, run):
    words = ("score", finished, "HL-0001-A", "--assessor", "Moss", "Overall=7", "--json")
    assert run(*words).data["scores"] == {"overall": 7.0}

"""Blind sessions and panel tests through the command: nothing is told while blind."""

from __future__ import annotations

import re
from dataclasses import replace

import pypdf
import pytest

from journal.keeping import Journal

BOARD = ("--wheel", "HL-0001-A", "HL-0001-B", "--reference", "Abbey", "--assessor", "Orla", "Tam")
LIKED = {"HL-0001-A": 8.0, "HL-0001-B": 6.0, "Abbey": 4.0}
LEVEL = {"Orla": 0.5, "Tam": -0.5}
WHEN = ("--at", "2026-11-14T19:30")


def cheese_of(path, servings):
    """What each serving is, read by another door."""
    with Journal.open(path, read_only=True) as journal:
        return {(r.assessor, r.code): r.cheese for r in journal.sessions.key(servings)} | {
            (who, r.code): r.cheese
            for r in journal.sessions.key(servings)
            for who in LEVEL
            if not r.assessor
        }


@pytest.fixture
def set_up(finished, run):
    done = run("session-set-up", finished, *BOARD, *WHEN, "--json")
    assert done.code == 0, done
    return done.data


def give_all(run, path, set_up):
    known = cheese_of(path, set_up["sitting"])
    for one in set_up["servings"]:
        overall = LIKED[known[one["assessor"], one["code"]]] + LEVEL[one["assessor"]]
        done = run("session-score", path, "latest", one["code"], "--assessor", one["assessor"],
                   f"overall={overall:g}", "salt=6,5", "--json")  # fmt: skip
        assert done.code == 0, done
    return done.data


@pytest.mark.parametrize("codes", ["sample", "assessor"])
def test_a_sitting_from_the_laying_out_to_the_answer(finished, run, codes):
    set_up = run("session-set-up", finished, *BOARD, *WHEN, "--codes", codes, "--json").data
    assert {(s["assessor"], s["place"]) for s in set_up["servings"]} == {
        (who, place) for who in LEVEL for place in (1, 2, 3)
    }
    codes_used = {s["code"] for s in set_up["servings"]}
    assert len(codes_used) == (3 if codes == "sample" else 6)
    last = give_all(run, finished, set_up)
    assert (last["left"], last["left_of_assessor"]) == (0, 0)
    done = run("session-reveal", finished, "latest", "--json")
    assert done.code == 0, done
    assert [(s["cheese"], s["overall_mean"]) for s in done.data["samples"]] == list(LIKED.items())
    first = done.data["samples"][0]
    assert first["wheel"]
    assert {g["assessor"]: g["scores"] for g in first["given"]} == {
        who: {"overall": 8.0 + level, "salt": 6.5} for who, level in LEVEL.items()
    }
    assert run("session-results", finished, str(set_up["sitting"]), "--json").data == done.data
    assert run("sessions", finished, "--json").data[0]["lifted_at"] is not None


def test_nothing_is_told_while_it_is_blind(finished, run, refused, set_up):
    give_all(run, finished, set_up)
    assert "still hidden" in refused("session-results", finished, "latest")
    assert "--helper" in refused("session-key", finished, "latest")
    report = [
        run("sessions", finished),
        run("sessions", finished, "--json"),
        run("makes", finished, "--json"),
        run("session-join", finished, "latest", "--assessor", "Wen", "--json"),
    ]
    for done in report:
        assert done.code == 0, done
        assert "Abbey" not in done.out
        assert "8.5" not in done.out
        assert "HL-0001-A" not in done.out
    findings = run("findings", finished, "--score", "overall", "--json")
    assert findings.code != 0 or findings.data["wheels"] == 0


def test_the_helper_is_told_what_each_code_is(finished, run, set_up):
    rows = run("session-key", finished, "latest", "--helper", "--json").data
    assert {row["cheese"] for row in rows} == set(LIKED)
    assert {row["code"] for row in rows} == {s["code"] for s in set_up["servings"]}


def test_who_joins_late_gets_every_sample(finished, run, set_up):
    done = run("session-join", finished, "latest", "--assessor", "Wen", "--json")
    assert [s["place"] for s in done.data["servings"]] == [1, 2, 3]
    assert {s["code"] for s in done.data["servings"]} == {s["code"] for s in set_up["servings"]}
    assert run("sessions", finished, "--json").data[0]["assessors"] == ["Orla", "Tam", "Wen"]


def test_a_defect_and_words_go_with_the_code_and_scores_add_up(finished, run, set_up):
    code = set_up["servings"][0]["code"]
    words = ("session-score", finished, "latest", code, "--assessor", "orla")
    assert run(*words, "overall=7", "--defect", "slight bitter").code == 0
    assert run(*words, "salt=5", "--note", "hazelnut").code == 0
    with Journal.open(finished, read_only=True) as journal:
        card = journal.sessions.scored(journal.sessions.servings(set_up["sitting"])[0].id)
    assert card.scores == {"overall": 7.0, "salt": 5.0}
    assert card.defects == (("flavour", "bitter", "slight"),)
    assert card.note == "hazelnut"


def test_shuffled_cups_are_lifted_with_the_codes_found_under_them(finished, run, refused):
    board = ("--wheel", "HL-0001-A", "HL-0001-B", "--assessor", "Orla", *WHEN)
    set_up = run("session-set-up", finished, *board, "--codes", "shuffle", "--json").data
    assert sorted(s["code"] for s in set_up["servings"]) == ["1", "2"]
    for cup, overall in (("1", "8"), ("2", "5")):
        words = ("latest", cup, "--assessor", "Orla", f"overall={overall}")
        assert run("session-score", finished, *words).code == 0
    key = run("session-key", finished, "latest", "--helper", "--json").data
    labels = {row["cheese"]: row["code"] for row in key}
    assert "codes" in refused("session-reveal", finished, "latest", "--cup-codes", "1,2")
    under = f"{labels['HL-0001-B']},{labels['HL-0001-A']}"
    done = run("session-reveal", finished, "latest", "--cup-codes", under, "--json")
    assert [(s["cheese"], s["overall_mean"]) for s in done.data["samples"]] == [
        ("HL-0001-B", 8.0), ("HL-0001-A", 5.0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "words",
    [
        ["session-set-up", "--assessor", "Orla"],
        ["session-set-up", "--wheel", "HL-0001-A"],
        ["session-set-up", "--wheel", "HL-0001-Z", "--assessor", "Orla"],
        ["session-set-up", "--wheel", "HL-0001-A", "--assessor", "Orla", "orla"],
        ["session-results", "latest"],
        ["session-results", "7"],
        ["test-set-up", "triangle", "--wheel", "HL-0001-A", "--assessor", "Orla"],
        ["test-set-up", "ranking", "--wheel", "HL-0001-A", "HL-0001-B", "--assessor", "Orla"],
        ["test-set-up", "paired", "--wheel", "HL-0001-A", "HL-0001-B", "--assessor", "Orla"],
        ["test-results", "latest"],
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(finished, refused, words):
    refused(words[0], finished, *words[1:])
    with Journal.open(finished, read_only=True) as journal:
        assert journal.tastings.all() == journal.panel_tests.all() == journal.assessors.all() == []


def test_a_code_or_a_person_that_is_not_there_is_refused(finished, refused, set_up):
    give = ("session-score", finished, "latest")
    assert "has no 000" in refused(*give, "000", "--assessor", "Orla", "overall=7")
    code = set_up["servings"][0]["code"]
    assert "session-join" in refused(*give, code, "--assessor", "Ida", "overall=7")
    assert "halves" in refused(*give, code, "--assessor", "Orla", "overall=7.3")
    assert "No defect" in refused(*give, code, "--assessor", "Orla", "overall=7", "--defect", "zzz")


def odd_codes(run, path):
    """The code of the odd cup of each set, by the helper's key."""
    out = []
    for one in run("test-key", path, "latest", "--helper", "--json").data:
        names = [cup["cheese"] for cup in one["cups"]]
        out.append(next(c["code"] for c in one["cups"] if names.count(c["cheese"]) == 1))
    return out


def test_a_triangle_is_answered_in_a_sentence(finished, run, refused):
    board = ("--wheel", "HL-0001-A", "HL-0001-B", "--assessor", "Orla", "Tam", "Wen")
    set_up = run("test-set-up", finished, "triangle", *board, "--sets", "2", *WHEN, "--json").data
    assert len(set_up["sets"]) == 6
    assert "--helper" in refused("test-key", finished, "latest")
    right = odd_codes(run, finished)
    for one, code in zip(set_up["sets"], right, strict=True):
        named = code if one["set"] > 1 else next(c for c in one["codes"] if c != code)
        done = run("test-answer", finished, "latest", one["set"], named, "--json")
        assert done.code == 0, done
        if one["set"] == 3:
            assert "still hidden" in refused("test-results", finished, "latest")
    assert done.data["left"] == 0
    done = run("test-reveal", finished, "latest", "--json")
    assert done.data["sentence"] == "5 of 6 told them apart; by chance that happens 2 times in 100."
    assert (done.data["right"], done.data["answers"], done.data["differs"]) == (5, 6, True)
    assert "for the three people who tasted" in done.data["verdict"]
    # (6 × 2 + 1) / 3⁶: the binomial by hand
    assert done.data["p"] == pytest.approx(13 / 729)
    assert run("test-results", finished, "latest", "--json").data == done.data
    assert "There is no" in refused("test-answer", finished, "latest", "1", "000")


def test_a_tetrad_is_answered_with_how_far_apart_and_how_alike(finished, run, refused):
    """All of one pair right in two sets of three: d′, and whether fewer than 30 % may tell."""
    board = ("--wheel", "HL-0001-A", "HL-0001-B", "--assessor", *"ABCDEFGHIJKL", *WHEN)
    set_up = run("test-set-up", finished, "tetrad", *board, "--json").data
    assert [len(one["codes"]) for one in set_up["sets"]] == [4] * 12
    assert "names 2" in refused(
        "test-answer", finished, "latest", "1", set_up["sets"][0]["codes"][0]
    )
    for one in run("test-key", finished, "latest", "--helper", "--json").data:
        code = {}
        for cup in one["cups"]:
            code.setdefault(cup["cheese"], []).append(cup["code"])
        first, second = code.values()
        named = first if one["set"] <= 4 else (first[0], second[0])
        assert run("test-answer", finished, "latest", one["set"], *named).code == 0
    found = run("test-reveal", finished, "latest", "--json").data
    assert (found["right"], found["answers"], found["differs"]) == (4, 12, False)
    assert (found["d_prime"], found["d_prime_low"]) == (0.0, 0.0)
    assert found["d_prime_high"] > 1.5
    alike = found["similarity"]
    assert (alike["share"], alike["beta"], alike["most"], alike["alike"]) == (0.3, 0.05, 3, False)
    # At 30 % a half and a thirtieth are right: three or fewer of twelve in .046, four in .136.
    assert "3 right or fewer would have shown that" in found["verdict"]
    more = run("test-results", finished, "latest", "--alike-below", "60", "--json").data
    assert more["similarity"]["alike"]
    assert "Alike enough: fewer than 60 %" in more["verdict"]
    assert "between 0 and 100" in refused("test-results", finished, "latest", "--alike-below", "0")
    with Journal.open(finished) as journal:
        assert journal.check() == []


def test_how_many_answers_a_small_difference_takes(run, refused):
    for kind, answers in (("triangle", 220), ("tetrad", 65)):
        done = run("test-size", kind, "--d-prime", "1", "--json").data
        assert (done["answers"], done["d_prime"]) == (answers, 1.0)
    assert (
        run("test-size", "paired", "--d-prime", "1", "--expected", "--json").data["answers"] == 26
    )
    assert "d′ 1" in run("test-size", "tetrad", "--d-prime", "1").out
    assert "fewer than 30 %" in run("test-size", "triangle", "--alike").out
    assert "No published" in refused("test-size", "two-out-of-five", "--d-prime", "1")
    assert "not both" in refused("test-size", "tetrad", "--d-prime", "1", "--can-tell", "30")


def test_a_ranking_and_a_paired_comparison(finished, run, refused):
    three = ("--wheel", "HL-0001-A", "HL-0001-B", "--reference", "Abbey")
    people = ("--assessor", *"ABCDEF")
    set_up = run(
        "test-set-up", finished, "ranking", *three, *people, "--attribute", "salt", *WHEN, "--json"
    )
    order = ("Abbey", "HL-0001-A", "HL-0001-B")
    for one in run("test-key", finished, "latest", "--helper", "--json").data:
        code = {cup["cheese"]: cup["code"] for cup in one["cups"]}
        run("test-answer", finished, "latest", one["set"], *(code[name] for name in order))
        if one["set"] == 1:
            assert "5 sets left" in refused("test-reveal", finished, "latest")
    found = run("test-reveal", finished, "latest", "--json").data
    assert set_up.data["kind"] == "ranking"
    assert "again" not in found["verdict"]
    assert found["rank_sums"] == {"Abbey": 6.0, "HL-0001-A": 12.0, "HL-0001-B": 18.0}
    assert found["sentence"].startswith("From the most salt to the least: Abbey, HL-0001-A")
    two = ("--wheel", "HL-0001-A", "--reference", "Abbey")
    run("test-set-up", finished, "paired", *two, *people, "--attribute", "bitter", *WHEN)
    for one in run("test-key", finished, "latest", "--helper", "--json").data:
        code = next(cup["code"] for cup in one["cups"] if cup["cheese"] == "Abbey")
        run("test-answer", finished, "latest", one["set"], code)
    found = run("test-reveal", finished, "latest")
    assert found.out.startswith(
        "6 of 6 found Abbey more bitter; by chance that happens 3 times in 100."
    )
    assert len(run("tests", finished, "--json").data) == 2


def test_one_person_who_ranks_again_and_again_speaks_for_nobody_else(finished, run):
    three = ("--wheel", "HL-0001-A", "HL-0001-B", "--reference", "Abbey")
    asked = ("--assessor", "Orla", "--sets", "6", "--attribute", "salt")
    run("test-set-up", finished, "ranking", *three, *asked, *WHEN)
    order = ("Abbey", "HL-0001-A", "HL-0001-B")
    for one in run("test-key", finished, "latest", "--helper", "--json").data:
        code = {cup["cheese"]: cup["code"] for cup in one["cups"]}
        run("test-answer", finished, "latest", one["set"], *(code[name] for name in order))
    found = run("test-reveal", finished, "latest", "--json").data
    assert (
        "One person ranked them several times: that says nothing about others." in found["verdict"]
    )


def test_a_sitting_is_not_lifted_by_accident(finished, run, refused):
    set_up = run("session-set-up", finished, *BOARD, *WHEN, "--json").data
    one = set_up["servings"][0]
    run(
        "session-score", finished, "latest", one["code"], "--assessor", one["assessor"], "overall=7"
    )
    assert "5 samples left" in refused("session-reveal", finished, "latest")
    assert run("sessions", finished, "--json").data[0]["lifted_at"] is None
    done = run("session-reveal", finished, "latest", "--unfinished")
    assert "5 samples had not been scored" in done.out


def test_how_many_answers_it_takes(run):
    done = run("test-size", "triangle", "--can-tell", "50", "--power", "80", "--json")
    assert done.data["answers"] == 16
    assert "16 answers" in run("test-size", "triangle").out
    # Of a paired comparison either cheese may have more, unless one is foreseen (ISO 5495): exact
    # binomial, the first number of answers from which the power stays at 80 %.
    either = run("test-size", "paired", "--json").data
    assert (
        either["answers"],
        run("test-size", "paired", "--expected", "--json").data["answers"],
    ) == (35, 28)
    assert "either cheese" in run("test-size", "paired").out


def times(code: str, text: str) -> int:
    """How often a code stands in a text; a year or a longer number that holds it is none."""
    return len(re.findall(rf"(?<!\d){code}(?!\d)", text))


def test_sheets_are_written_with_the_key_beside_them(finished, run, set_up, tmp_path, refused):
    out = tmp_path / "sheets.pdf"
    done = run("session-sheet", finished, "latest", out, "--json")
    assert done.code == 0, done
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
    assert all(times(s["code"], text) == 2 for s in set_up["servings"])  # once for each assessor
    assert "Orla, 3 of 3" in text
    assert not any(name in text for name in LIKED)
    key = pypdf.PdfReader(done.data["key"]).pages[0].extract_text()
    assert all(name in key for name in LIKED)
    give_all(run, finished, set_up)
    run("session-reveal", finished, "latest")
    assert "revealed" in refused("session-sheet", finished, "latest", out)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sets_of_a_test_are_written_too(finished, run, tmp_path, paper):
    board = ("--wheel", "HL-0001-A", "HL-0001-B", "--assessor", "Orla", "Tam")
    set_up = run("test-set-up", finished, "duo-trio", *board, "--sets", "4", *WHEN, "--json").data
    out = tmp_path / "sets.pdf"
    done = run("test-sheet", finished, "latest", out, "--paper", paper, "--json")
    pages = [page.extract_text() for page in pypdf.PdfReader(out).pages]
    text = "".join(pages)
    assert done.data["pages"] == len(pages) == 2
    codes = [code for one in set_up["sets"] for code in one["codes"] if code]
    assert all(times(code, text) == 1 for code in codes)
    assert text.count("reference") >= 8
    assert "HL-0001" not in text
    assert "HL-0001-B" in pypdf.PdfReader(done.data["key"]).pages[0].extract_text()


def test_an_export_says_what_is_under_the_cloth_or_leaves_it_out(finished, run, set_up, tmp_path):
    give_all(run, finished, set_up)
    picture = tmp_path / "cut.png"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n of the cut")
    with Journal.open(finished) as journal:
        one = journal.sessions.servings(set_up["sitting"])[0]
        card = replace(journal.sessions.scored(one.id), photo=journal.photos.bring(picture))
        journal.sessions.give(one.id, card)
    done = run("export", finished, tmp_path / "whole")
    assert len(list((tmp_path / "whole" / "photos").iterdir())) == 1
    assert "1 hidden session or test can be read there" in done.out
    assert "Abbey" in (tmp_path / "whole" / "sample.csv").read_text()
    done = run("export", finished, tmp_path / "blind", "--blind")
    assert "left out" in done.out
    assert not (tmp_path / "blind" / "photos").exists()
    for file in (tmp_path / "blind").glob("*.*"):
        text = file.read_text()
        assert "Abbey" not in text, file.name
        assert "8.5" not in text, file.name
    run("session-reveal", finished, "latest")
    assert "hidden" not in run("export", finished, tmp_path / "whole").out

"""Any table: words, people, sessions, times and numbered makes; what is not looked at, and why."""

from __future__ import annotations

import json

import numpy as np
import pytest

from journal.command import main
from journal.exchange.foreign import read_scores
from journal.exchange.past_makes import read_past
from journal.findings import study
from journal.wording import text_of
from tests.tables import from_columns

ZONE = "Europe/London"
MAKES = 24


def kitchen(seed=5):
    """Starter B is worth two points, salt nothing."""
    draw = np.random.default_rng(seed)
    starter = [("A", "B", "C")[i % 3] for i in draw.permutation(MAKES)]
    salt = draw.normal(1.8, 0.2, MAKES).round(2)
    score = [6 + 2 * (one == "B") + 0.4 * draw.normal() for one in starter]
    return starter, salt, [round(float(one), 1) for one in score]


def answered(capsys, *words):
    assert main([*map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_starter_worth_two_points_is_found(write, capsys):
    starter, salt, score = kitchen()
    rows = ["Date;Batch;starter;Salz %;time;Overall;Notes"]
    rows += [
        f"{i + 1:02d}.03.2025;B{i};{one};{str(s).replace('.', ',')};{30 + 7 * i % 11};"
        f"{str(y).replace('.', ',')};remark {i}"
        for i, (one, s, y) in enumerate(zip(starter, salt, score, strict=True))
    ]
    found = answered(capsys, "findings", write("t.csv", "\n".join(rows)), "--score", "overall")
    assert found["findings"][0]["variable"] == "starter: B"
    first = found["findings"][0]
    assert (first["evidence"], first["step"]) == ("clear", None)
    assert first["low95"] < 2 < first["high95"]
    assert {one["variable"] for one in found["findings"]} == {
        "starter: B", "starter: C", "Salz %", "time",
    }  # fmt: skip
    assert {one["column"]: one["why"] for one in found["not_looked_at"]} == {
        "Date": "holds dates", "Batch": "only names the rows", "Notes": "holds remarks",
    }  # fmt: skip
    output = " ".join(found["notes"])
    assert "“time” holds numbers and is read as a length of time, a variable." in output
    assert "Not looked at: “Date” (holds dates), “Batch” (only names the rows)" in output


def test_numbered_makes_that_come_again_are_one_make_and_that_is_said(write, capsys):
    text = "make,salt,overall\n" + "".join(
        f"{i // 2 + 1},{1.5 + (i // 2) * 7 % 5 / 10:.1f},{5 + i % 5}\n" for i in range(24)
    )
    path = write("t.csv", text)
    found = answered(capsys, "findings", path, "--score", "overall")
    assert (found["makes"], found["wheels"]) == (12, 24)
    assert any("rows with the same number count as one make" in note for note in found["notes"])
    dated = write("d.csv", text.replace("make,", "date,make,", 1).replace("\n", "\n2025-01-01,"))
    table = read_past(dated, zone=ZONE)
    assert len(table.makes) == 12
    assert any("one entry under “make” become one make" in one for one in table.questions)


def test_numbers_of_makes_that_begin_again_each_year_are_not_thrown_together(write, tmp_path):
    text = "make,date,salt,overall\n1,2024-01-05,1.5,6\n2,2024-02-05,1.7,7\n" \
           "1,2025-01-05,1.9,8\n2,2025-02-05,1.8,6\n2,2025-05-05,,7\n"  # fmt: skip
    table = read_past(write("t.csv", text), zone=ZONE)
    assert [[v.value for v in make.variables] for make in table.makes] == [
        [1.5], [1.9], [1.7], [1.8],
    ]  # fmt: skip
    assert any("differ in what was done are makes of their own" in s for s in table.sentences)
    same = read_scores(tmp_path / "t.csv", "overall")
    assert len(set(same.make)) == 4
    assert any("makes of their own" in text_of(note) for note in same.notes)
    assert sum(len(wheel.given) for make in table.makes for wheel in make.wheels) == 5


@pytest.mark.parametrize("kinds", [("big",), ("big", "small")])
def test_the_vat_that_all_or_half_were_made_in_is_not_the_make(write, capsys, kinds):
    starter, salt, score = kitchen()
    text = "date,vat,starter,salt,overall\n" + "".join(
        f"2025-03-{i + 1:02d},{kinds[i * 7 // 3 % len(kinds)]},{starter[i]},{salt[i]},{score[i]}\n"
        for i in range(MAKES)
    )
    path = write("t.csv", text)
    found = answered(capsys, "findings", path, "--score", "overall")
    assert found["makes"] == len(read_past(path, zone=ZONE).makes) == MAKES
    assert found["findings"][0]["variable"] == "starter: B"
    output = {one["variable"]: one["evidence"] for one in found["findings"]}
    assert len(output) == 4
    assert (output.get("vat") == "never varied") == (len(kinds) == 1)


def test_a_number_column_called_time_is_asked_about_once(write, tmp_path, capsys):
    text = "date,time,overall\n2025-01-01,30,7\n2025-01-02,45,8\n"
    path, journal = write("t.csv", text), tmp_path / "j.vatside"
    announced = answered(capsys, "import-makes", journal, path)
    assert any("“time” is read as a length of time" in note for note in announced["notes"])
    assert answered(capsys, "import-makes", journal, path)["questions"] == []


@pytest.mark.parametrize("wide", [True, False])
def test_people_are_levelled_in_columns_of_their_own_and_in_one_of_names(write, wide):
    """Ben scores two points below Ann and missed the salty makes: without levelling salt helps."""
    draw = np.random.default_rng(2)
    salt = np.linspace(1.4, 2.2, 20)
    ann = 7 + 0.3 * draw.normal(size=20)
    ben = [None if s > 1.8 else a - 2 for s, a in zip(salt, ann, strict=True)]
    if wide:
        columns = {"salt": salt, "overall Ann": ann, "overall (Ben)": ben}
    else:
        there = [i for i in range(20) if ben[i] is not None]
        columns = {
            "salt": [*salt, *salt[there]],
            "taster": ["Ann"] * 20 + ["Ben"] * len(there),
            "overall": [*ann, *(ben[i] for i in there)],
        }
    table = from_columns(columns, "overall")
    assert (table.makes, table.assessors) == (20, 2)
    found = study(table).finding("salt")
    assert found.low80 < 0 < found.high80


def test_a_session_is_no_variable_and_its_mood_is_allowed_for():
    draw = np.random.default_rng(4)
    session = np.repeat(np.arange(8), 6)
    salt = draw.normal(size=48)
    y = 6 + 0.5 * salt + 1.5 * draw.normal(size=8)[session] + 0.3 * draw.normal(size=48)
    columns = {"session": session.tolist(), "salt": salt.tolist(), "overall": y.tolist()}
    table = from_columns(columns, "overall")
    assert [one.column for one in table.not_looked_at] == ["session"]
    found = study(table).finding("salt")
    assert found.low95 < 0.5 * found.step < found.high95
    assert found.high95 - found.low95 < 0.35 * found.step / float(np.std(salt))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "holds no table of makes"),
        ("overall\n7\n8\n6\n", "no column beside the score"),
        ("a,b\nx,y\nz,u\nx,v\n", "holds no table of makes"),
        ("salt,overall\n", "holds no table of makes"),
        ("brine,salt,overall\n\"1,234\",1,7\n\"2,345\",2,6\n", "can be 1.234 or 1234"),
        (",".join(f"c{i}" for i in range(300)) + "\n" + ",".join("1" * 300), "300 columns"),
        ("salt,overall\n" + "1.8,7\n" * 100_001, "at most 100,000"),
    ],
    ids=["empty", "one column", "all text", "header alone", "two readings", "wide", "long"],
)  # fmt: skip
def test_a_hostile_table_is_a_sentence_both_ways(write, capsys, text, says):
    path = write("t.csv", text)
    for words in (("findings", path, "--score", "overall"),
                  ("import-makes", path.with_name("new.vatside"), path, "--preview",
                   "--date", "2025-01-01")):  # fmt: skip
        code = main([str(word) for word in words])
        out = capsys.readouterr()
        assert code in (0, 2)
        assert "Traceback" not in out.err
        if words[0] == "findings":
            assert code == 2
            assert says in out.err


def test_eighteen_million_cells_are_refused_in_a_sentence(write, capsys):
    row = ",".join("1" * 180) + "\n"
    path = write("t.csv", row * 100_000)
    assert main(["findings", str(path), "--score", "overall"]) == 2
    assert "at most 30 MB" in capsys.readouterr().err


def test_ragged_rows_and_two_columns_of_one_name_are_said(write, capsys):
    path = write("t.csv", "salt;salt;overall\n1;5;7\n2;4\n3;9;8;7;6\n5;2;6\n2;1;5\n4;4;7\n")
    found = answered(capsys, "findings", path, "--score", "overall")
    output = " ".join(found["notes"])
    assert "2 rows have more or fewer cells than the header" in output
    assert "the later ones are called salt (2)" in output
    assert {one["variable"] for one in found["findings"]} == {"salt", "salt (2)"}


def test_units_and_decimal_commas_are_read_the_same_both_ways(write):
    text = ("date;salt (%);cook temp [°F];rennet (tsp);overall\n"
            "2025-01-01;1,8 %;95;1/4 tsp;7,5\n2025-01-02;1,9;97;1 1/2 tsp;6\n"
            "2025-01-03;2,1;99;¼ tsp;8\n")  # fmt: skip
    path = write("t.csv", text)
    table = read_scores(path, "overall")
    assert {v.name: v.unit for v in table.variables} == {
        "salt (%)": "%", "cook temp [°F]": "°F", "rennet (tsp)": "tsp",
    }  # fmt: skip
    assert table.x[:, 2].tolist() == [0.25, 1.5, 0.25]
    past = read_past(path, zone=ZONE)
    assert [make.scores["overall"] for make in past.makes] == table.y.tolist() == [7.5, 6, 8]
    assert [round(v.value, 2) for make in past.makes for v in make.variables] == [
        1.8, 35.0, 1.9, 36.11, 2.1, 37.22,
    ]  # fmt: skip

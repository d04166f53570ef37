"""The whole circle by command, on a real file: from a plan to a finding."""

from __future__ import annotations

import pytest

MAKES = 8
STAGES = (("ripen", 30), ("set", 60), ("cut", 45), ("stir", 10), ("cook", 15))  # next, minutes


def salted(i: int) -> float:
    """The salt of the i-th make, %; every make differs and no order is in it."""
    return 1.5 + 0.1 * (i * 3 % MAKES)


def make_one(run, path, i):
    day = f"2026-{i + 1:02d}-10"
    done = run("begin", path, "--plan", "cheddar type", "--milk", f"{12 + 0.1 * i:g}l",
               "--at", f"{day}T08:00")  # fmt: skip
    code = done.out.split()[-1]
    minute = 8 * 60
    for kind, minutes in STAGES:
        minute += minutes + (i % 3 if kind == "set" else 0)  # only the ripening varies
        at = f"{day}T{minute // 60:02d}:{minute % 60:02d}"
        assert run("log", path, code, "milk-temp", "31.2", "--at", at).code == 0
        assert run("stage", path, code, "end", "--at", at, "--json").data["next"]["kind"] == kind
    assert run("log", path, code, "curd-ph", "6.3", "--at", f"{day}T12:00").code == 0
    assert run("finish", path, code, "--wheel", "1.2kg", "--at", f"{day}T20:00").code == 0
    return code


def test_from_plan_to_finding(run, kitchen, tmp_path):
    codes = [make_one(run, kitchen, i) for i in range(MAKES)]
    assert codes == [f"HL-{i + 1:04d}" for i in range(MAKES)]
    for i, code in enumerate(codes):
        for name, level in (("Moss", 0.5), ("Fern", -0.5)):
            overall = round(2 * (5 + (i % 3) + level)) / 2
            done = run("score", kitchen, f"{code}-A", "--assessor", name, f"overall={overall}",
                       "salt=5", "--at", f"2027-{i + 1:02d}-10")  # fmt: skip
            assert done.code == 0, done

    log = tmp_path / "log.csv"
    log.write_text("elapsed (min),milk (°C)\n" + "".join(f"{m},31.{m % 10}\n" for m in range(60)))
    brought = run("import-readings", kitchen, "HL-0002", log, "--json").data
    assert set(brought) == {"read", "kept", "skipped", "doubtful", "reasons", "notes"}
    assert (brought["read"], brought["kept"], brought["skipped"]) == (60, 60, 0)

    makes = run("makes", kitchen, "--json").data
    assert [make["code"] for make in makes] == codes[::-1]
    assert next(m for m in makes if m["code"] == "HL-0002")["readings"] == 66
    assert {make["best_score"] for make in makes} == {5.0, 6.0, 7.0}

    found = run("findings", kitchen, "--score", "overall", "--json").data
    assert (found["makes"], found["wheels"], found["assessors"]) == (MAKES, MAKES, 2)
    ripened = next(f for f in found["findings"] if f["variable"] == "milk ripened")
    # Each minute of ripening (60, 61 or 62) goes with one point, and nothing else does.
    assert ripened["ols_effect"] == pytest.approx(1.0, abs=1e-6)
    assert ripened["rho"] == pytest.approx(1.0)
    size = next(f for f in found["findings"] if f["variable"] == "curd size")
    assert size["evidence"] == "never varied"

    assert run("check", kitchen).code == 0
    exported = run("export", kitchen, tmp_path / "out", "--json").data
    assert "readings/HL-0002-milk-temp.csv" in exported["files"]


def test_past_makes_and_new_ones_stand_together(run, kitchen, tmp_path):
    lines = ["Date,Salt in curd (%),Overall"]
    lines += [f"2025-{i + 1:02d}-10,{salted(i):.1f},{4 + salted(i):.1f}" for i in range(MAKES)]
    table = tmp_path / "past.csv"
    table.write_text("\n".join(lines) + "\n")
    done = run("import-makes", kitchen, table, "--json").data
    assert {"read", "kept", "skipped", "reasons"} <= set(done)
    assert (done["read"], done["kept"]) == (MAKES, MAKES)
    code = make_one(run, kitchen, 0)
    assert code == f"HL-{MAKES + 1:04d}"
    direct = run("findings", table, "--score", "Overall", "--json").data["findings"][0]
    kept = run("findings", kitchen, "--score", "overall", "--json").data["findings"]
    salt = next(f for f in kept if f["variable"] == "salt in curd")
    assert salt["ols_effect"] == pytest.approx(direct["ols_effect"], abs=1e-6)
    assert salt["ols_effect"] == pytest.approx(1.0, abs=1e-6)


def test_past_makes_may_be_the_beginning_of_a_journal(run, refused, tmp_path):
    path, table = tmp_path / "new.vatside", tmp_path / "past.csv"
    table.write_text("date,taste\n2025-01-01,57.2\n")
    refused("import-makes", path, table)
    assert not path.exists()
    table.write_text("date,overall\n,7\n")
    refused("import-makes", path, table)
    assert not path.exists()
    table.write_text("date,overall\n2025-01-01,7\n")
    assert f"Made a new journal, {path}." in run("import-makes", path, table).out
    assert len(run("makes", path, "--json").data) == 1


def test_what_came_of_a_table_is_said_in_one_sentence(run, kitchen, tmp_path):
    path, rows = tmp_path / "past.csv", ["date,salt,overall", "2025-01-13,1,7", "2025-02-14,2,8",
                                         "2025-03-14,2,8", "2025-04-14,2,8"]  # fmt: skip
    said = []
    for ends, more in ((2, ""), (4, ""), (4, ",6.6"), (5, ",6.5"), (5, ",6.5")):
        head = f"{rows[0]},milk pH" if more else rows[0]
        path.write_text("\n".join([head, *(f"{one}{more}" for one in rows[1:ends])]), "utf-8")
        said.append(run("import-makes", kitchen, path).out.split("\n")[0])
    assert said == [
        "1 row read, 1 make saved: HL-0001; 0 skipped.",
        "3 rows read, 2 makes saved: HL-0002 to HL-0003; 1 skipped.",
        "3 rows read, 0 makes saved, 3 updated; 0 skipped.",
        "4 rows read, 1 make saved: HL-0004, 3 updated; 0 skipped.",
        "4 rows read, 0 makes saved; 4 skipped.",
    ]


def test_preview_says_what_was_understood_and_keeps_nothing(run, begun, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("Time;Milk (°F)\n14.07.2026 08:00;88,0\n14.07.2026 08:01;88,4\n")
    done = run("import-readings", begun, "latest", log, "--preview", "--json").data
    assert (done["read"], done["kept"], done["would_keep"]) == (2, 0, 2)
    assert done["columns"][1] == {
        "name": "Milk (°F)", "kind": "milk-temp", "taken_as": "milk, °F",
    }  # fmt: skip
    text = run("import-readings", begun, "latest", log, "--preview").out
    assert "14.07.2026 08:00" in text
    assert "2 values saved" not in text or run("makes", begun, "--json").data[0]["readings"] == 0
    assert run("makes", begun, "--json").data[0]["readings"] == 0


@pytest.mark.parametrize(
    ("text", "words", "values"),
    [
        ("when,t\n03/04/2026 08:00,88\n03/04/2026 08:05,89\n",
         ["--map", "t=milk-temp", "--unit", "degF", "--date-order", "dmy"], 2),
        ("d,c,t,p\n2026-07-14,08:00,31,6.5\n2026-07-14,08:05,31,\n",
         ["--map", "t=milk-temp", "--map", "p=curd-ph", "--time", "d", "--time", "c"], 3),
    ],
)  # fmt: skip
def test_choices_for_a_loggers_file(run, begun, tmp_path, text, words, values):
    log = tmp_path / "log.csv"
    log.write_text(text)
    done = run("import-readings", begun, "latest", log, *words, "--json")
    assert done.code == 0, done
    assert done.data["kept"] == values


@pytest.mark.parametrize(
    "words",
    [
        ["--map", "t=moon"],
        ["--map", "moon=milk-temp"],
        ["--map", "t"],
        ["--unit", "furlong"],
        ["--time", "moon"],
    ],
)
def test_choices_that_do_not_fit_are_refused(refused, begun, tmp_path, words):
    log = tmp_path / "log.csv"
    log.write_text("when,t\n2026-07-14 08:00,31\n2026-07-14 08:05,31\n")
    refused("import-readings", begun, "latest", log, *words)


@pytest.mark.parametrize("words", [["--scale", "10-0"], ["--scale", "much"], ["--milk", "1 kg"]])
def test_choices_for_a_table_that_do_not_fit_are_refused(refused, begun, tmp_path, words):
    table = tmp_path / "past.csv"
    table.write_text("date,v,overall\n2025-01-01,1,7\n2025-01-02,2,7\n")
    refused("import-makes", begun, table, *words)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("date,v,overall\n01/02/2025,3,7\n02/03/2025,4,8\n", "--date-order dmy"),
        ("v,overall\n3,7\n4,8\n", "--map COLUMN=date"),
        ("date,v,overall\n2025-01-01,3,70\n2025-01-03,4,80\n", "--scale COLUMN=0-100"),
    ],
)
def test_a_question_about_a_table_names_the_option_that_answers_it(
    refused, begun, tmp_path, text, hint
):
    table = tmp_path / "past.csv"
    table.write_text(text)
    assert hint in refused("import-makes", begun, table)
    assert hint in refused("import-makes", tmp_path / "new.vatside", table)


def test_the_report_says_what_was_assumed(run, begun, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("Time,Temp\n2026-07-14 07:30,31\n2026-07-14 08:05,31.5\n")
    done = run("import-readings", begun, "latest", log, "--json").data
    assert done["notes"] == [
        "“Temp” names no unit, so °C is assumed.",
        "1 reading lies before the make began, by 30 min.",
    ]
    log.write_text("Time,Temp,X\n2026-07-14 08:15,31,5\n")
    text = run("import-readings", begun, "latest", log).out
    assert "1 row read, 1 value saved, 0 skipped." in text
    assert "“Temp” names no unit, so °C is assumed." in text


def test_a_preview_of_an_open_order_says_how_to_answer(run, begun, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("when,t\n03/04/2026 08:00,31\n03/04/2026 08:05,31\n")
    text = run("import-readings", begun, "latest", log, "--preview").out
    assert text.count("Choose one") == 1
    assert "--date-order" in text

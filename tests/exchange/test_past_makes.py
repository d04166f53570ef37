"""Tables of past makes: what each column is, what is kept, what is refused."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.foreign import read_scores
from journal.exchange.loggers.mapping import DATE_ORDERS
from journal.exchange.past_columns import ChosenColumns, bare, unit_of
from journal.exchange.past_keeping import ALREADY, save_past
from journal.exchange.past_makes import NO_DATE, NO_ROLE, SUMMING, read_past
from journal.exchange.spreadsheet import read_foreign
from journal.findings import study
from journal.findings.variables import score_table
from journal.message import Message
from journal.records.instants import DAY_MS, from_iso
from journal.records.tastings import NOBODY
from journal.wording import text_of
from tests.refusals import refused

ZONE = "Europe/London"
TABLE = """Date;Batch;Recipe;Milk (l);Ripening (min);Salt (%);Rind;Green weight (g);Overall;Notes
14.03.2025;A1;moon hard;12,5;45;1,8;dry;1250;7,5;first try
21.03.2025;A2;moon hard;12,0;60;2,1;moist;1190;6;
28.03.2025;A3;tomme;11,0;;1,9;dry;;8;late
;A4;tomme;11,0;50;1,9;dry;;8;no date
04.04.2025;A5;tomme;11,0;;;;;;nothing said
"""


def roles(table):
    return {column.header: column.role for column in table.columns}


def test_columns_are_known_by_name_and_cells(write):
    table = read_past(write("makes.csv", TABLE), zone=ZONE)
    assert roles(table) == {
        "Date": "date", "Batch": "name", "Recipe": "plan", "Milk (l)": "milk",
        "Ripening (min)": "variable", "Salt (%)": "variable", "Rind": "words",
        "Green weight (g)": "wheel", "Overall": "score", "Notes": "remark",
    }  # fmt: skip
    assert table.read == 5
    assert table.reasons == {NO_DATE: 1, NO_ROLE: 1}
    first = table.makes[0]
    assert first.started_ms == from_iso("2025-03-14", ZONE)
    assert (first.name, first.plan, first.remark) == ("A1", "moon hard", "first try")
    assert (first.milk_l, first.wheel_kg) == (12.5, 1.25)
    assert first.scores == {"overall": 7.5}
    assert [(v.name, v.value, v.text, v.unit) for v in first.variables] == [
        ("milk ripened", 45.0, "", "min"), ("salt in curd", 1.8, "", "%"),
        ("rind", None, "dry", ""),
    ]  # fmt: skip


def test_rows_become_finished_makes_with_a_wheel_and_scores(kept, write):
    report = save_past(kept, read_past(write("makes.csv", TABLE), zone=ZONE))
    assert (report.read, report.kept, report.skipped) == (5, 3, 2)
    assert report.codes == ("HL-0001", "HL-0002", "HL-0003")
    row = kept.makes.rows()[-1]
    assert (row.code, row.name, row.plan, row.milk_l) == ("HL-0001", "A1", "moon hard", 12.5)
    assert (row.wheels, row.best_score) == (1, 7.5)
    assert kept.makes.running() == []
    whole = kept.whole(row.id)
    assert whole.wheels[0].code == "HL-0001-A"
    assert whole.wheels[0].green_weight_kg == pytest.approx(1.25)
    assert whole.runs == ()  # nothing is known of its stages, so nothing is said of them
    assert {e.name: e.value for e in whole.entered} == {
        "milk ripened": 45, "salt in curd": 1.8, "rind": None,
    }  # fmt: skip
    assert [a.name for a in kept.assessors.all()] == [NOBODY]
    assert kept.sessions.people() == []
    assert kept.check() == []
    built_in = next(r for r in kept.makes.rows() if r.code == "HL-0003")
    assert len(kept.plans.get(kept.makes.get(built_in.id).plan_id).stages) > 1


def test_it_is_one_step_to_undo_and_nothing_comes_twice(kept, write):
    path = write("makes.csv", TABLE)
    save_past(kept, read_past(path, zone=ZONE))
    again = save_past(kept, read_past(path, zone=ZONE))
    assert (again.kept, again.reasons[ALREADY]) == (0, 3)
    more = TABLE + "11.04.2025;A6;tomme;11,0;55;1,7;dry;;7;\n" * 2
    grown = save_past(kept, read_past(write("more.csv", more), zone=ZONE))
    assert (grown.kept, grown.codes) == (1, ("HL-0004",))
    kept.undo()
    kept.undo()
    assert kept.makes.all() == []
    assert kept.assessors.all() == []


def test_an_imported_plan_never_takes_the_place_of_one_that_is_there(kept, make, write):
    before = kept.plans.by_name("kitchen hard")
    text = "date,plan,salt,overall\n2025-01-01,Kitchen Hard,1.8,7\n"
    save_past(kept, read_past(write("t.csv", text), zone=ZONE))
    assert kept.plans.by_name("kitchen hard") == before


def test_findings_work_from_the_first_day(kept, write):
    lines = ["date,milk fat (%),pH end,overall"]
    for i in range(12):
        fat = 3.4 + 0.1 * (i * 5 % 12)
        lines.append(f"2025-{i + 1:02d}-03,{fat:.1f},{5.2 + 0.01 * (i * 7 % 12):.2f},{fat * 2:.2f}")
    save_past(kept, read_past(write("t.csv", "\n".join(lines)), zone=ZONE))
    found = study(score_table(kept.wholes(), "overall"))
    assert found.makes == 12
    fat = found.finding("milk fat")  # the record's own variable, read out of the table
    assert fat.ols_effect == pytest.approx(2.0, abs=1e-6)
    assert found.finding("pH end").ols_effect == pytest.approx(0.0, abs=1e-6)


def test_a_column_may_be_mapped(write):
    text = "made,x,y,z\n2025-01-01,1,5,8\n2025-02-01,2,6,9\n"
    output = ChosenColumns(columns={"x": "salt in curd", "y": "skip"}, scores=["z"])
    table = read_past(write("t.csv", text), output, zone=ZONE)
    assert roles(table) == {"made": "date", "x": "variable", "y": "left out", "z": "score"}
    assert table.makes[0].variables[0].name == "salt in curd"
    assert table.makes[1].scores == {"z": 9.0}


@pytest.mark.parametrize(
    ("text", "output", "tasted_after_days"),
    [
        ("date,tasted on,v,overall\n2025-01-01,2025-03-02,1,7\n", None, 60),
        ("date,age (weeks),v,overall\n2025-01-01,8,1,7\n", None, 56),
        ("date,old,v,overall\n2025-01-01,30,1,7\n", ChosenColumns(columns={"old": "age"}), 30),
        ("date,v,overall\n2025-01-01,1,7\n", None, 0),
    ],
)
def test_when_it_was_tasted(write, text, output, tasted_after_days):
    past = read_past(write("t.csv", text), output, zone=ZONE).makes[0]
    assert (past.tasted_ms - past.started_ms) / DAY_MS == pytest.approx(tasted_after_days)


def test_scores_off_the_scale_are_refused_until_their_scale_is_said(kept, write):
    path = write("t.csv", "date,salt (%),taste\n2025-01-01,1,12.3\n2025-02-01,2,57.2\n")
    with pytest.raises(
        ExchangeError, match=r"exchange.off-scale .*least=12.3, most=57.2"
    ) as caught:
        read_past(path, zone=ZONE)
    assert caught.value.asks == "scale"
    table = read_past(path, ChosenColumns(scales={"taste": (0, 60)}), zone=ZONE)
    assert table.makes[1].scores["taste"] == pytest.approx(57.2 / 6)
    assert any("rescaled to 0–10" in sentence for sentence in table.sentences)
    with pytest.raises(ExchangeError, match=r"exchange.off-scale .*low=0, high=50"):
        read_past(path, ChosenColumns(scales={"": (0, 50)}), zone=ZONE)


def test_dates_are_needed_or_said(write):
    path = write("t.csv", "case,v,overall\n1,3,7\n2,4,8\n3,5,7\n")
    with refused(ExchangeError, "exchange.no-column-of-dates"):
        read_past(path, zone=ZONE)
    table = read_past(path, ChosenColumns(date="2025-05-01"), zone=ZONE)
    assert [make.name for make in table.makes] == ["case 1", "case 2", "case 3"]


OPEN = Message("exchange.dates-open", one=DATE_ORDERS["dmy"], other=DATE_ORDERS["mdy"])


def test_day_or_month_first_is_asked_when_it_is_open(write):
    path = write("t.csv", "date,v,overall\n01/02/2025,3,7\n02/03/2025,4,8\n")
    with refused(ExchangeError, "exchange.under-column", column="date", why=OPEN) as caught:
        read_past(path, zone=ZONE)
    assert caught.value.asks == "date order"
    assert text_of(caught.value) == (
        "Under “date”: The dates could be day first or month first. Choose one."
    )
    months = [
        dt.datetime.fromtimestamp(
            read_past(path, ChosenColumns(date_order=order), zone=ZONE).makes[0].started_ms / 1000,
            dt.UTC,
        ).month
        for order in ("dmy", "mdy")
    ]
    assert months == [2, 1]


def test_the_course_of_the_rows_never_decides_how_the_dates_of_makes_go(write):
    """Month first and day first both run forward here, in steps of different length."""
    rows = "".join(f"03/{month:02}/2025,{month},7\n" for month in (4, 5, 6))
    with refused(ExchangeError, "exchange.under-column", column="date", why=OPEN):
        read_past(write("t.csv", f"date,v,overall\n{rows}"), zone=ZONE)
    result = read_past(write("u.csv", f"date,v,overall\n{rows}13/06/2025,3,7\n"), zone=ZONE)
    assert result.makes[0].started_ms == from_iso("2025-04-03", ZONE)
    assert any("too high to be anything else" in one for one in result.sentences)


def test_dates_of_two_orders_are_refused(write):
    path = write("t.csv", "date,v,overall\n13/05/2025,3,7\n05/14/2025,4,8\n")
    mixed = Message("exchange.dates-mixed")
    with refused(ExchangeError, "exchange.under-column", column="date", why=mixed):
        read_past(path, zone=ZONE)


def test_a_row_that_sums_the_others_up_is_no_make(write):
    text = "Nr,date,salt,overall\n1,2025-01-01,2,7\n2,2025-02-01,3,8\nMean,,2.5,7.5\n"
    table = read_past(write("t.csv", text), ChosenColumns(date="2025-05-01"), zone=ZONE)
    assert len(table.makes) == 2
    assert table.reasons == {SUMMING: 1}
    assert roles(table)["Nr"] == "row number"


@pytest.mark.parametrize(
    "output",
    [
        ChosenColumns(columns={"moon": "salt"}),
        ChosenColumns(scores=["moon"]),
        ChosenColumns(columns={"a": "salt", "b": "salt"}),
        ChosenColumns(columns={"words": "a number"}),
        ChosenColumns(columns={"words": "milk"}),
        ChosenColumns(scores=["words"]),
    ],
)
def test_what_does_not_fit_the_table_is_refused(write, output):
    text = "date,a,b,words\n2025-01-01,1,2,x\n2025-01-02,2,3,y\n"
    with pytest.raises(ExchangeError):
        read_past(write("t.csv", text), output, zone=ZONE)


def test_units_in_headers():
    assert (bare("Milk (l)"), unit_of("Milk (l)")) == ("Milk", "l")
    assert (bare("pH"), unit_of("pH")) == ("pH", "")
    assert (bare("(l)"), unit_of("(l)")) == ("(l)", "l")


def test_the_same_table_as_a_spreadsheet_reads_the_same(kept, tmp_path):
    path = tmp_path / "makes.xlsx"
    _spreadsheet(path)
    table = read_past(path, zone=ZONE)
    assert table.makes[0].started_ms == from_iso("2025-03-14", ZONE)
    assert [(v.name, v.value, v.unit) for v in table.makes[0].variables] == [
        ("salt in curd", 1.8, "%")
    ]
    assert table.makes[1].scores == {"overall": 6.0}
    assert save_past(kept, table).kept == 2
    assert read_scores(path, "overall").y.tolist() == [7.5, 6.0]


def _spreadsheet(path):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.create_sheet("makes")
    sheet.append(["Our makes"])
    sheet.append(["Date", "Salt", "Overall"])
    sheet.append([dt.datetime(2025, 3, 14), 0.018, 7.5])
    sheet.append([dt.date(2025, 3, 21), 0.021, 6])
    for row in (3, 4):
        sheet.cell(row, 2).number_format = "0.0%"
    book.save(path)


def _causes(error):
    while error is not None:
        yield type(error).__name__
        error = error.__cause__ or error.__context__


@pytest.mark.parametrize("data", [b"PK\x03\x04 no archive", b"", b"\xd0\xcf\x11\xe0" + b"x" * 99])
def test_a_damaged_spreadsheet_is_refused(tmp_path, data):
    path = tmp_path / "t.xlsx"
    path.write_bytes(data)
    with pytest.raises(ExchangeError):
        read_foreign(path)


def test_entities_in_a_spreadsheet_are_not_followed(tmp_path):
    import zipfile

    good, bad = tmp_path / "good.xlsx", tmp_path / "bad.xlsx"
    _spreadsheet(good)
    entity = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e "boom">]>'
    with zipfile.ZipFile(good) as old, zipfile.ZipFile(bad, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name.startswith("xl/worksheets/"):
                data = entity + data.split(b"?>", 1)[-1].replace(b"<v>0.018</v>", b"<v>&e;</v>")
            new.writestr(name, data)
    with refused(ExchangeError, "exchange.no-spreadsheet") as caught:
        read_foreign(bad)
    assert "EntitiesForbidden" in list(_causes(caught.value))


def test_a_spreadsheet_that_unpacks_to_far_too_much_is_refused(tmp_path):
    import zipfile

    path = tmp_path / "bomb.xlsx"
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as entry,
    ):
        for _ in range(40):
            entry.write(b" " * 10_000_000)
    with refused(ExchangeError, "exchange.unpacks-to", file="bomb.xlsx", mb=400.0):
        read_foreign(path)


CELLS = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(st.lists(CELLS, min_size=1, max_size=5), max_size=8), st.sampled_from(",;\t"))
def test_any_text_is_a_table_or_a_sentence(tmp_path, rows, delimiter):
    path = tmp_path / "t.csv"
    path.write_text("\n".join(delimiter.join(row) for row in rows), encoding="utf-8")
    try:
        table = read_past(path, ChosenColumns(date="2025-01-01"), zone=ZONE)
    except ExchangeError:
        return  # refused with a sentence; anything else fails the test
    assert len(table.makes) + sum(table.reasons.values()) == table.read


# Fractions, marks between thousands, wheels and tasters.


def column(write, header, cells, more="overall,7"):
    name, value = more.split(",")
    rows = "".join(f"2025-01-{i + 1:02d};{cell};{value}\n" for i, cell in enumerate(cells))
    return read_past(write("t.csv", f"date;{header};{name}\n{rows}"), zone=ZONE)


def values(table):
    return [make.variables[0].value for make in table.makes]


@pytest.mark.parametrize(
    ("cells", "read", "unit"),
    [
        (["1/8", "1/8", "1/8"], [0.125] * 3, ""),
        (["1/8 tsp", "1 1/2 tsp", "2 tsp"], [0.125, 1.5, 2.0], "tsp"),
        (["½", "1½", "2"], [0.5, 1.5, 2.0], ""),
        (["1/8", "0,25", "1 1/2"], [0.125, 0.25, 1.5], ""),
        (["1 1/4 g", "1.125 g", "2 g"], [1.25, 1.125, 2.0], "g"),
    ],
)
def test_fractions_are_read_as_people_write_them(write, cells, read, unit):
    table = column(write, "annatto", cells)
    assert values(table) == pytest.approx(read)
    assert table.makes[0].variables[0].unit == unit


@pytest.mark.parametrize(
    ("header", "cells", "read", "unit"),
    [
        ("culture", ["1/8 tsp", "1 1/2 tsp", "¼ tsp"], [0.625, 7.5, 1.25], "ml"),
        ("Kultur", ["1/2 tsp", "5 ml", "1 tbsp"], [2.5, 5.0, 15.0], "ml"),
        ("rennet (ml)", ["1,5", "2,0", "1,25"], [1.5, 2.0, 1.25], "ml"),
        ("salt g", ["1 1/4 g", "1.125 g", "2 oz"], [1.25, 1.125, 56.7], "g"),
    ],
)
def test_what_went_in_is_read_in_spoons_and_mixed_units(write, header, cells, read, unit):
    """A metric teaspoon is 5 ml, a tablespoon 15 ml; an ounce 28.35 g."""
    table = column(write, header, cells)
    assert [make.used[0].amount for make in table.makes] == pytest.approx(read, rel=1e-4)
    assert {make.used[0].unit for make in table.makes} == {unit}


def test_a_score_out_of_ten_is_no_fraction(write):
    table = column(write, "salt", ["1.8", "1.9"], more="overall,8/10")
    assert [make.scores for make in table.makes] == [{"overall": 8.0}] * 2
    hundred = column(write, "salt", ["1.8", "1.9"], more="overall,83/100")
    assert hundred.makes[0].scores == pytest.approx({"overall": 8.3})
    assert column(write, "salt", ["1.8"], more="overall,7 1/2").makes[0].scores == {"overall": 7.5}


def test_a_day_and_a_month_are_no_fraction(write):
    text = "date,salt,overall\n1/8,1.8,7\n2/8,1.9,6\n"
    with refused(ExchangeError, "exchange.no-column-of-dates"):
        read_past(write("t.csv", text), zone=ZONE)


@pytest.mark.parametrize(
    ("cells", "read"),
    [
        (["1,234", "2,5"], [1.234, 2.5]),  # the column itself shows a decimal comma
        (["1,234", "2.5"], [1234.0, 2.5]),
        (["1,234", "1,234.5"], [1234.0, 1234.5]),
        (["1.234", "2,5"], [1234.0, 2.5]),
    ],
)
def test_thousands_go_by_the_columns_own_mark(write, cells, read):
    assert values(column(write, "brine", cells)) == read


def test_thousands_go_by_the_tables_mark_where_the_column_shows_none(write):
    assert values(column(write, "brine", ["1,234", "1,300"], more="pH,5.4")) == [1234, 1300]
    assert values(column(write, "brine", ["1.234", "1.300"], more="pH,5.4")) == [1.234, 1.3]


@pytest.mark.parametrize("cells", [["1,234", "1,300"], ["1,234 g", "900 g"]])
def test_a_number_that_could_be_a_thousand_times_as_much_is_refused(write, cells):
    with pytest.raises(
        ExchangeError,
        match=r"column-two-readings .where='brine', number='1,234'",
    ):
        column(write, "brine", cells)


def test_a_text_in_a_spreadsheet_that_could_be_a_thousand_times_as_much_is_refused(tmp_path):
    import openpyxl

    book = openpyxl.Workbook()
    for row in (["date", "brine", "overall"], [dt.date(2025, 1, 1), "1,234", 7.5],
                [dt.date(2025, 1, 2), 2.5, 6.5]):  # fmt: skip
        book.active.append(row)
    book.save(tmp_path / "t.xlsx")
    with pytest.raises(ExchangeError, match=r"cell-two-readings .where='B2', number='1,234'"):
        read_past(tmp_path / "t.xlsx", zone=ZONE)


def lives(journal):
    return [life.wheel.code for life in journal.care_tasks.lives()]


def test_wheels_of_a_table_are_gone_and_that_is_said(kept, write):
    report = save_past(kept, read_past(write("makes.csv", TABLE), zone=ZONE))
    assert lives(kept) == []
    assert len(kept.wheels.all()) == 3
    assert any(
        note.startswith("No column says which wheels are still there") for note in report.notes
    )
    whole = kept.whole(kept.makes.by_code("HL-0001").id)
    assert whole.wheels[0].gone_ms == from_iso("2025-03-14", ZONE)


@pytest.mark.parametrize(
    ("header", "cells"),
    [("still there", ("yes", "no", "")), ("Eaten", ("no", "yes", "yes")),
     ("status", ("ageing", "given away", "eaten"))],
)  # fmt: skip
def test_a_wheel_that_the_table_says_is_there_stays(kept, write, header, cells):
    table = column(write, header, cells)
    assert roles(table)[header] == "there"
    save_past(kept, table)
    assert lives(kept) == ["HL-0001-A"]


def test_a_word_that_does_not_say_whether_it_is_there_is_no_guess(write):
    assert roles(column(write, "status", ["good", "eaten"]))["status"] == "words"
    text = "date,fate,overall\n2025-01-01,who knows,7\n"
    with refused(ExchangeError, "exchange.there-or-not"):
        read_past(write("t.csv", text), ChosenColumns(columns={"fate": "there"}), zone=ZONE)


def test_scores_without_a_name_are_one_level_and_no_taster(kept, write):
    save_past(kept, read_past(write("makes.csv", TABLE), zone=ZONE))
    assert kept.sessions.people() == []
    assert study(score_table(kept.wholes(), "overall")).assessors == 1

"""Bringing files in through the dialogs: what is shown first, what Enter keeps, what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from journal.desk.bring_in import BringIn, BringInMakes
from journal.desk.incoming.makes import scale_of
from journal.records import RecordError
from journal.records.instants import from_iso
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.traces import DOUBTFUL

ZONE = "Europe/London"
BEGUN = from_iso("2026-06-05T09:00", ZONE)
PLAN = Plan("kitchen hard", (Stage("warm", 30.0, target_c=31.0),))


@pytest.fixture
def make(journal):
    return journal.makes.begin(PLAN, Milk(12), BEGUN)


@pytest.fixture
def show(qtbot, journal, window_on):
    """Opens a dialog over a window and waits until the file is read."""

    def opened(kind, *args):
        window = window_on(journal, place="today", clock=lambda: BEGUN)
        dialog = kind(journal, *args, window)
        dialog.open()
        qtbot.waitUntil(lambda: not dialog.work.busy)
        return dialog

    return opened


def written(folder: Path, text: str) -> str:
    path = folder / "file.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def pick(qtbot, dialog, box, key):
    """Choose as a person does, by the list's own activation."""
    place = box.findData(key)
    assert place >= 0
    box.setFocus()
    box.setCurrentIndex(place)
    box.activated.emit(place)
    qtbot.waitUntil(lambda: not dialog.work.busy)


LOGGER = "Time;Milk temp (°F);Curd pH;Count\n" + "".join(
    f"2026-06-05 09:{m:02d}:00;{50 + m},0;6,6{m % 10};{m}\n" for m in range(30)
)


def test_nothing_is_kept_before_enter_and_then_all_of_it_is(show, journal, make, tmp_path, qtbot):
    dialog = show(BringIn, make.id, written(tmp_path, LOGGER + "2026-06-05 09:40:00;warm;;\n"))
    assert dialog.columns.kinds() == {
        "Time": "time",
        "Milk temp (°F)": "milk-temp",
        "Curd pH": "curd-ph",
        "Count": "left out",
    }
    assert dialog.account.text().startswith("31 rows, 60 values to import, 2 to skip")
    assert journal.readings.count(make.id) == 0
    heard = []
    dialog.imported.connect(heard.append)
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert journal.readings.count(make.id) == 60
    trace = journal.readings.trace(make.id, "milk-temp")
    assert trace.at_ms[0] == BEGUN
    assert trace.value[0] == pytest.approx(10.0)  # 50 °F
    assert dialog.account.text().startswith("31 rows read, 60 values saved with HL-0001, 2 skipped")
    assert heard == [dialog.account.text()]
    with qtbot.waitSignal(dialog.finished):
        qtbot.keyClick(dialog, Qt.Key.Key_Return)


def test_escape_leaves_everything_as_it_was(show, journal, make, tmp_path, qtbot):
    dialog = show(BringIn, make.id, written(tmp_path, LOGGER))
    with qtbot.waitSignal(dialog.finished):
        qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert journal.readings.count(make.id) == 0


def test_a_column_can_be_taken_as_something_else(show, journal, make, tmp_path, qtbot):
    dialog = show(BringIn, make.id, written(tmp_path, LOGGER))
    pick(qtbot, dialog, dialog.columns.choice("Curd pH"), "whey-ph")
    pick(qtbot, dialog, dialog.columns.choice("Milk temp (°F)", "unit"), "degC")
    assert "60 values to import" in dialog.account.text()
    pick(qtbot, dialog, dialog.columns.choice("Milk temp (°F)"), "left out")
    assert "30 values to import" in dialog.account.text()
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert journal.readings.kinds(make.id) == ["whey-ph"]


def test_the_mapping_is_remembered_for_the_next_file(show, journal, make, tmp_path, qtbot):
    first = show(BringIn, make.id, written(tmp_path, LOGGER))
    pick(qtbot, first, first.columns.choice("Curd pH"), "whey-ph")
    qtbot.keyClick(first, Qt.Key.Key_Return)
    second = show(BringIn, make.id, written(tmp_path, LOGGER))
    assert second.columns.kinds()["Curd pH"] == "whey-ph"
    assert "as in the last file" in second.sentences.text()
    qtbot.keyClick(second, Qt.Key.Key_Return)
    assert "0 values saved" in second.account.text()
    assert "already in the journal 60" in second.account.text()


def test_ambiguous_dates_ask_for_their_order(show, journal, make, tmp_path, qtbot):
    rows = "".join(f"03/02/2025 09:{m:02d},3{m % 10}.5\n" for m in range(20))
    dialog = show(BringIn, make.id, written(tmp_path, "when,temp\n" + rows))
    assert dialog.order.isVisible()
    assert "Choose one" in dialog.fault.text()
    assert "--" not in dialog.fault.text()
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert journal.readings.count(make.id) == 0
    pick(qtbot, dialog, dialog.order, "dmy")
    assert dialog.save.isEnabled()
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    saved = journal.readings.trace(make.id, "milk-temp")
    assert saved.at_ms[0] == from_iso("2025-02-03T09:00", ZONE)
    assert "Check the dates" in dialog.account.text()


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01\x02" * 500, b"\xff\xfe" + b"\xd8\x00" * 50, b'"' * 9999, b"a,b\n1,2\n",
     b"SQLite format 3\x00" + b"\x00" * 500],
)  # fmt: skip
def test_a_hostile_file_becomes_a_sentence(show, make, tmp_path, qtbot, content):
    path = tmp_path / "hostile.csv"
    path.write_bytes(content)
    for kind, args in ((BringIn, (make.id, str(path))), (BringInMakes, (str(path),))):
        dialog = show(kind, *args)
        assert dialog.fault.text().startswith("▲ ")
        assert not dialog.save.isEnabled()
        qtbot.keyClick(dialog, Qt.Key.Key_Return)
        assert dialog.isVisible()


def test_a_file_that_is_not_there_is_named(show, make, tmp_path):
    dialog = show(BringIn, make.id, str(tmp_path / "nothing.csv"))
    assert "nothing.csv" in dialog.fault.text()


def test_readings_of_two_centuries_are_drawn_without_delay(show, make, tmp_path):
    rows = "1971-01-01 10:00,31.5\n2026-06-05 10:00,32.5\n2150-01-01 10:00,33.5\n"
    dialog = show(BringIn, make.id, written(tmp_path, "time,milk temp (°C)\n" + rows))
    assert not dialog.grab().isNull()


PAST = "date,cook temp (°C),overall\n2025-01-03,36.5,7\n2025-02-04,37.5,8\n2025-03-05,38.5,6.5\n"


def test_past_makes_are_shown_and_kept(show, journal, tmp_path, qtbot):
    dialog = show(BringInMakes, written(tmp_path, PAST))
    assert dialog.columns.kinds() == {
        "date": "date",
        "cook temp (°C)": "own: cook temperature",
        "overall": "score",
    }
    assert dialog.account.text() == "3 rows, 3 makes to import."
    assert journal.makes.rows() == []
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert [row.best_score for row in journal.makes.rows()] == [6.5, 8.0, 7.0]
    assert dialog.account.text() == (
        "3 rows read, 3 makes imported, 0 skipped. They are HL-0001 to HL-0003."
    )
    assert [e.value for e in journal.entered.all()] == [36.5, 37.5, 38.5]


def test_scores_on_another_scale_are_asked_for_and_brought_over(show, journal, tmp_path, qtbot):
    text = "date,points\n2025-01-03,70\n2025-02-04,85\n"
    dialog = show(BringInMakes, written(tmp_path, text))
    pick(qtbot, dialog, dialog.columns.choice("points"), "score")
    assert "scale" in dialog.fault.text()
    assert "--scale" not in dialog.fault.text()
    dialog.scale.setFocus()
    qtbot.keyClicks(dialog.scale, "0 to 100")
    qtbot.keyClick(dialog.scale, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.work.busy)
    assert journal.makes.rows() == []
    assert dialog.save.isEnabled()
    qtbot.keyClick(dialog.save, Qt.Key.Key_Return)
    assert sorted(s.value for s in journal.scores.all()) == [7.0, 8.5]


def test_a_table_without_dates_takes_one_for_all(show, journal, tmp_path, qtbot):
    text = "salt (%),overall\n1.7,7\n1.9,8\n"
    dialog = show(BringInMakes, written(tmp_path, text))
    assert "give one date" in dialog.fault.text()
    assert "--" not in dialog.fault.text()
    dialog.date.setFocus()
    qtbot.keyClicks(dialog.date, "2025-05-01")
    qtbot.keyClick(dialog.date, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.work.busy)
    assert dialog.account.text() == "2 rows, 2 makes to import."


def test_a_column_of_a_table_can_be_left_out(show, tmp_path, qtbot):
    dialog = show(BringInMakes, written(tmp_path, PAST))
    pick(qtbot, dialog, dialog.columns.choice("cook temp (°C)"), "left out")
    assert "“cook temp (°C)” is left out." in dialog.sentences.text()


def test_a_scale_is_two_numbers():
    assert scale_of("0 to 100") == (0.0, 100.0)
    assert scale_of("1-5") == (1.0, 5.0)
    assert scale_of("0 to 10") is None
    assert scale_of(" ") is None
    for wrong in ("ten", "5 to 1", "0 to"):
        with pytest.raises(RecordError):
            scale_of(wrong)


def test_a_unit_that_nobody_named_is_chosen_before_anything_is_kept(
    show, journal, make, tmp_path, qtbot
):
    rows = "".join(f"2026-06-05 09:{m:02d},{86 + m}\n" for m in range(9))
    dialog = show(BringIn, make.id, written(tmp_path, f"Time,Milk\n{rows}"))
    assert "more likely °F than °C" in dialog.fault.text()
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert journal.readings.count(make.id) == 0
    pick(qtbot, dialog, dialog.columns.choice("Milk", "unit"), "degF")
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert journal.readings.trace(make.id, "milk-temp").value[0] == pytest.approx(30.0)


def test_doubtful_readings_and_room_air_are_said_before_and_after(
    show, journal, make, tmp_path, qtbot
):
    rows = "".join(f"2026-06-05 09:{m:02d},{42.1 if m == 4 else 31},12,80\n" for m in range(9))
    dialog = show(BringIn, make.id, written(tmp_path, f"Time,Milk (°C),Room (°C),RH (%)\n{rows}"))
    for report in (dialog.questions, dialog.account):
        assert "1 value is marked as doubtful: milk 42.1 °C at 09:04." in report.text()
        assert "“Room (°C)” and “RH (%)” hold the air of a room" in report.text()
        if report is dialog.questions:
            qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert dialog.account.text().startswith("9 rows read, 9 values saved with HL-0001, 0 skipped.")
    trace = journal.readings.trace(make.id, "milk-temp")
    assert trace.value[(trace.flags & DOUBTFUL) != 0].tolist() == [42.1]

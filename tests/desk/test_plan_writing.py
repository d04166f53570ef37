"""Plans written through the real window by keys: cells, steps, drafts, versions, the day."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.plans.draft_store import SETTING
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Ingredient, Milk
from journal.records.plan_text import builtin_plan

NOW = from_iso("2026-03-14T07:58", "Europe/London")
K, M = Qt.Key, Qt.KeyboardModifier
CTRL, ALT, SHIFT = M.ControlModifier, M.AltModifier, M.ShiftModifier


def _clock() -> int:
    return NOW


class Writer:
    """Someone at the window: each key goes to what has the focus, and is counted."""

    def __init__(self, window) -> None:
        self.window, self.keys = window, 0

    @property
    def place(self):
        return self.window.current

    @property
    def page(self):
        return self.window.current.page

    @property
    def table(self):
        return self.page.stages

    def types(self, text: str) -> None:
        for letter in text:
            QTest.keyClicks(QApplication.focusWidget(), letter)
            self.keys += 1

    def presses(self, *keys, mods=M.NoModifier) -> None:
        for key in keys:
            QTest.keyClick(QApplication.focusWidget() or self.window, key, mods)
            self.keys += 1

    def line(self, row: int):
        return self.table.rows_model.rows[row + 1]

    @property
    def last_stage(self) -> int:
        """The row of the last stage; the care goes on below it."""
        return sum(not line.care for line in self.table.rows_model.rows) - 2

    def at(self, row: int, column: int = 0) -> None:
        self.table.setFocus()
        self.table.select_cell(row, column)


@pytest.fixture
def writer(window_on, journal: Journal) -> Writer:
    made = Writer(window_on(journal, place="plans", clock=_clock))
    made.place.show_plan("cheddar type")
    return made


def _same(plan):
    return replace(plan, id=None, uuid="", version=1, builtin=False)


def test_a_cell_redraws_everything_at_each_key(writer: Writer) -> None:
    writer.at(5, 1)
    chart = writer.place.picture.chart
    writer.types("4")
    assert 4.0 in [c for _, c in chart._planned.plan.line()]
    assert "colder than the set" in " ".join(writer.page.outcome.sentences)
    writer.types("0")
    assert 40.0 in [c for _, c in chart._planned.plan.line()]
    assert "colder than the set" not in " ".join(writer.page.outcome.sentences)
    writer.presses(K.Key_Tab)
    writer.types("1 h")
    assert chart._planned.plan.stages[5].minutes == 60
    writer.presses(K.Key_Escape)
    assert chart._planned.plan.stages[5].minutes == 30
    assert writer.line(5).temp == "40.0"


def test_the_curd_stands_however_many_faults_there_are(writer: Writer) -> None:
    for row, column, text in ((2, 3, "; rennet 2000 ml"), (5, 1, "4"), (1, 1, "60")):
        writer.at(row, column)
        writer.types(text)
        writer.presses(K.Key_Return)
    output = writer.page.outcome.sentences
    assert output[0].startswith("Curd about 1.24 kg, a wheel 65 mm high")
    assert len(writer.place.sheet.faults) > writer.page.sentences - 1
    assert output[-1].endswith("more, Shift+F8.")


def test_a_name_from_the_shelf_is_no_new_ingredient(writer: Writer, journal: Journal) -> None:
    writer.at(2, 3)
    writer.types("nettle 2 g")
    assert "a new ingredient" in writer.page.stage_words.text()
    writer.presses(K.Key_Escape)
    journal.ingredients.save(Ingredient("other", "Nettle"))
    writer.at(2, 3)
    writer.types("nettle 2 g")
    assert "nettle" in writer.page.stage_words.text()
    assert "a new ingredient" not in writer.page.stage_words.text()


def test_units_are_understood_in_place_and_said(writer: Writer) -> None:
    writer.at(5, 1)
    writer.types("102 F")
    assert "102.0 °F is 38.9 °C" in writer.page.stage_words.text()
    writer.presses(K.Key_Return)
    assert writer.line(5).temp == "38.9"
    writer.at(writer.last_stage, 3)
    writer.types("30 lb")
    assert "13.6 kg on 150 mm is 7.6 kPa" in writer.page.stage_words.text()


def test_what_is_not_understood_stays_and_is_marked(writer: Writer, journal: Journal) -> None:
    writer.at(3, 3)
    writer.types("wibble")
    assert "“wibble” is not understood" in writer.page.stage_words.text()
    assert writer.table.editor.wrong
    writer.presses(K.Key_Return)
    assert writer.line(3).words.endswith("wibble")
    assert writer.line(3).loose == {"what"}
    writer.presses(K.Key_Return, mods=CTRL)
    assert "is not understood" in writer.place.messages.text("plans")
    assert journal.makes.all() == []


def test_a_part_that_is_not_understood_costs_the_others_nothing(
    writer: Writer, journal: Journal
) -> None:
    writer.at(2, 3)
    writer.types("; wibble; salt 12 g")
    assert "wibble" in writer.page.stage_words.text()
    writer.presses(K.Key_Return)
    setting = writer.place.author.settled.rows[2]
    assert [dose.kind for dose in setting.stage.doses] == ["rennet", "salt"]
    assert setting.loose == {"what": "wibble"}
    assert writer.line(2).words.endswith("salt 12 g; wibble")
    assert writer.line(2).loose == {"what"}
    writer.presses(K.Key_S, mods=CTRL)
    assert "Line 3:" in writer.place.messages.text("draft")
    assert journal.plans.names() == []
    writer.at(2, 3)
    writer.presses(K.Key_F2)  # all of it stands there to correct
    assert QApplication.focusWidget().text().endswith("salt 12 g; wibble")
    writer.presses(*[K.Key_Backspace] * len("; wibble"), K.Key_Return)
    assert writer.place.author.settled.rows[2].loose == {}
    assert [d.kind for d in writer.place.author.settled.rows[2].stage.doses] == ["rennet", "salt"]


def _mould(writer: Writer, text: str) -> None:
    writer.page.mould.line.setFocus()
    writer.presses(K.Key_A, mods=CTRL)
    writer.presses(K.Key_Delete)
    writer.types(text)
    writer.presses(K.Key_Return)
    writer.table.setFocus()


def test_the_mould_may_come_after_the_weights(writer: Writer, journal: Journal) -> None:
    _mould(writer, "")
    row = next(i for i, r in enumerate(writer.place.author.settled.rows) if r.stage.kind == "press")
    writer.at(row, 3)
    writer.presses(K.Key_F2)
    writer.presses(K.Key_A, mods=CTRL)
    writer.types("9 kg; turn once")
    assert "has no mould" in writer.page.stage_words.text()
    writer.presses(K.Key_Return)
    assert writer.place.author.settled.rows[row].stage.turns == 1
    assert any("has no mould" in one for one in writer.page.outcome.sentences)
    writer.presses(K.Key_S, mods=CTRL)
    output = writer.place.messages.text("draft")
    assert "has no mould" in output  # the reason, and where
    assert f"Line {row + 1}:" in output
    _mould(writer, "150")
    settled = writer.place.author.settled.rows[row]
    assert settled.loose == {}
    assert settled.stage.pressure_kpa == pytest.approx(4.9945, abs=1e-3)
    writer.presses(K.Key_S, mods=CTRL)
    assert "was saved" in writer.place.messages.text("draft")
    assert journal.plans.by_name("cheddar type").stages[row] == settled.stage


def test_unequal_turns_are_typed_in_a_cell(writer: Writer) -> None:
    row = next(i for i, r in enumerate(writer.place.author.settled.rows) if r.stage.kind == "press")
    writer.at(row, 3)
    writer.presses(K.Key_F2)
    writer.presses(K.Key_A, mods=CTRL)
    writer.types("10, 10, 10, 15 min")
    assert "3 turns between, 45 min in all" in writer.page.stage_words.text()
    writer.presses(K.Key_Return)
    stage = writer.place.author.settled.rows[row].stage
    assert (stage.minutes, stage.intervals_min) == (45, (10, 10, 10, 15))
    assert writer.line(row).minutes == "45"
    assert "intervals 10, 10, 10, 15 min" in writer.line(row).words


def test_lines_are_added_moved_doubled_and_taken_out(writer: Writer) -> None:
    def labels() -> list[str]:
        return [line.label for line in writer.table.rows_model.rows[1:]]

    before = labels()
    writer.at(3)
    writer.presses(K.Key_Insert, mods=CTRL)
    assert labels()[4] == ""
    writer.types("heal")
    writer.presses(K.Key_Return)
    assert labels()[4] == "heal"
    writer.presses(K.Key_Up, mods=ALT)
    assert labels()[3] == "heal"
    assert writer.table.current_stage == 3
    writer.presses(K.Key_Down, mods=ALT)
    writer.presses(K.Key_D, mods=CTRL | SHIFT)
    assert labels()[4:6] == ["heal", "heal"]
    writer.presses(K.Key_Delete, mods=CTRL)
    writer.presses(K.Key_Up)
    writer.presses(K.Key_Delete, mods=CTRL)
    for _ in range(7):
        writer.presses(K.Key_Z, mods=CTRL)
    assert labels() == before
    assert not writer.place.author.is_draft
    for _ in range(3):
        writer.presses(K.Key_Z, mods=CTRL | SHIFT)
    assert labels()[3] == "heal"


def test_words_of_a_stage_are_written_below(writer: Writer) -> None:
    writer.at(3)
    writer.presses(K.Key_F7)
    writer.presses(K.Key_A, mods=CTRL)
    writer.types("Cut slowly")
    writer.presses(K.Key_Return)
    assert writer.place.author.settled.rows[3].stage.instruction == "Cut slowly"
    assert "Cut slowly." in writer.page.stage_words.text()


def test_a_draft_is_there_again_after_going_away_and_after_a_crash(
    writer: Writer, journal: Journal, window_on, qtbot
) -> None:
    writer.at(5, 1)
    writer.types("38")
    writer.presses(K.Key_Tab)
    writer.types("40 mi")  # half a unit, and gone
    qtbot.waitUntil(writer.place.settled)
    with Journal.open(journal.path, read_only=True) as crashed:  # as another process finds it
        assert "40 mi" in crashed.setting(SETTING)
    writer.window.go("makes")
    writer.window.go("plans")
    assert writer.line(5).temp == "38.0"
    assert writer.line(5).minutes == "40 mi"
    assert writer.line(5).loose == {"minutes"}
    again = Writer(window_on(journal, place="plans", clock=_clock))
    again.place.show_plan("cheddar type")
    assert again.line(5).temp == "38.0"
    assert again.place.author.is_draft
    assert journal.plans.names() == []


def test_two_plans_are_written_at_once(writer: Writer) -> None:
    writer.at(0, 1)
    writer.types("30")
    writer.presses(K.Key_Return)
    writer.place.show_plan("tomme")
    writer.at(0, 1)
    writer.types("29")
    writer.presses(K.Key_Return)
    writer.place.show_plan("cheddar type")
    assert writer.line(0).temp == "30.0"
    changed = [one.name for one in writer.page.list.rows_model.rows if one.changed]
    assert changed == ["cheddar type", "tomme"]


def test_a_version_is_kept_and_a_make_keeps_its_own(
    writer: Writer, journal: Journal, qtbot
) -> None:
    built = builtin_plan("cheddar type")
    make = journal.makes.begin(built, Milk(12.0), NOW)
    writer.place.show_plan("cheddar type")
    writer.at(5, 1)
    writer.types("38")
    writer.presses(K.Key_Return)
    writer.presses(K.Key_S, mods=CTRL)
    saved = journal.plans.by_name("cheddar type")
    assert (saved.version, saved.stages[5].target_c) == (built.version + 1, 38.0)
    assert journal.plans.get(make.plan_id).stages[5].target_c == 39.0
    assert _same(journal.plans.get(make.plan_id)) == _same(built)
    assert f"saved as version {saved.version}" in writer.place.messages.text("draft")
    assert not writer.place.author.is_draft
    assert (journal.setting(SETTING) or "") == ""
    writer.presses(K.Key_Z, mods=CTRL)
    assert journal.plans.by_name("cheddar type").version == built.version


def test_a_plan_that_came_along_is_kept_before_its_first_change(
    writer: Writer, journal: Journal
) -> None:
    writer.at(5, 1)
    writer.types("38")
    writer.presses(K.Key_S, mods=CTRL)
    first, second = journal.plans.versions("cheddar type")
    assert _same(first) == _same(builtin_plan("cheddar type"))
    assert (second.version, second.stages[5].target_c) == (first.version + 1, 38.0)


def test_another_name_is_another_plan(writer: Writer, journal: Journal) -> None:
    writer.at(5, 1)
    writer.types("38")
    writer.presses(K.Key_S, mods=CTRL | SHIFT)
    writer.types("tomme")
    writer.presses(K.Key_Return)
    assert "Choose another name" in writer.place.messages.text("draft")
    assert journal.plans.names() == []
    writer.presses(K.Key_S, mods=CTRL | SHIFT)
    writer.types("my hard one")
    writer.presses(K.Key_Return)
    assert journal.plans.names() == ["my hard one"]
    plan = journal.plans.by_name("my hard one")
    assert plan.version == 1
    assert plan.uuid != builtin_plan("cheddar type").uuid
    writer.place.show_plan("cheddar type")
    assert writer.line(5).temp == "39.0"


def test_versions_stand_side_by_side_with_the_older_curve(writer: Writer, journal: Journal) -> None:
    writer.at(5, 1)
    writer.types("38")
    writer.presses(K.Key_Return)
    writer.presses(K.Key_H, mods=CTRL)
    rows = writer.page.compare.table.rows_model.rows
    assert [(r.label, r.was, r.now) for r in rows] == [("cook", "39.0 °C", "38.0 °C")]
    older = writer.place.picture.chart._planned.older
    assert older.stages[5].target_c == 39.0
    writer.presses(K.Key_Escape)
    assert not writer.page.comparing
    assert writer.place.picture.chart._planned.older is None


def test_the_day_is_typed_and_drawn(writer: Writer) -> None:
    writer.presses(K.Key_T, mods=CTRL)
    writer.types("out of the press by 6:30")
    day = writer.place.picture.chart._planned
    assert day.clock(day.plan.minutes) == "Sunday 06:30"
    assert "Start 08:10" in writer.page.day.message.text()
    writer.presses(K.Key_A, mods=CTRL)
    writer.types("end of days")
    assert "not a time of day" in writer.page.day.message.text()
    assert writer.page.day.text() == "end of days"


def test_what_falls_in_the_night_is_said(window_on, journal: Journal) -> None:
    early = from_iso("2026-03-14T06:30", "Europe/London")

    def clock() -> int:
        return early

    writer = Writer(window_on(journal, place="plans", clock=clock))
    writer.place.show_plan("cheddar type")  # 22 h 20: from 06:30 it is out at 04:50
    output = " ".join(writer.page.outcome.sentences)
    words = (
        "he cheese leaves the press at 04:50. Leave it until 06:00, or start at 08:00 instead "
        "(then 06:20)?"
    )
    assert words in output


def test_mould_and_fat_change_what_comes_of_it(writer: Writer) -> None:
    output = writer.page.outcome.sentences[0]
    assert "Curd about 1.24 kg, a wheel 65 mm high in 150 mm" in output
    writer.page.mould.line.setFocus()
    writer.page.mould.line.selectAll()
    writer.types("165")
    assert "54 mm high in 165 mm" in writer.page.outcome.sentences[0]
    writer.presses(K.Key_Return)
    assert writer.place.author.settled.head.mould_mm == 165
    assert writer.line(writer.last_stage).words.startswith("28 kg = 13.0 kPa")
    writer.page.fat.line.setFocus()
    writer.types("4.5")
    assert "from the fat" in writer.page.outcome.sentences[0]


def test_as_last_time_with_a_change(window_on, sample: Journal, qtbot) -> None:
    writer = Writer(window_on(sample, place="makes"))
    qtbot.waitUntil(writer.window.settled)
    row = writer.place.list.current()
    plan = sample.plans.get(sample.makes.get(row.id).plan_id)
    writer.presses(K.Key_R, mods=CTRL)
    assert writer.place.key == "plans"
    qtbot.waitUntil(writer.window.settled)
    assert row.code in writer.page.about.text()
    assert writer.place.author.settled.plan() == plan
    assert writer.page.milk.line.text() == f"{row.milk_l:g}"
    writer.at(0, 2)
    writer.types("41")
    writer.presses(K.Key_S, mods=CTRL)
    saved = sample.plans.by_name(plan.name)
    assert saved.stages[0].minutes == 41
    assert saved.version > plan.version
    assert sample.plans.get(plan.id).stages[0].minutes == plan.stages[0].minutes


HARD = (
    ("warm", "31", "30", ""),
    ("ripen", "31", "60", "culture 0.2 g; calcium chloride 2 ml"),
    ("set", "31", "45", "rennet 2.4 ml"),
    ("cut", "31", "12", "10 mm"),
    ("cook", "38.5", "45", "first 1 C per 5 min for 10 min"),
    ("pitch", "38.5", "20", "curd pH 6.3 to 6.5"),
    ("drain", "38.5", "14", ""),
    ("cheddar", "36", "90", "turn every 15; curd pH 5.3 to 5.6"),
    ("mill", "", "10", ""),
    ("salt", "", "15", "salt 2.5 %"),
    ("mould", "", "15", ""),
    ("press", "", "45", "9 kg"),
    ("press", "", "14 h", "25 kg"),
)


def test_a_plan_from_nothing_by_keyboard_in_under_three_minutes(
    window_on, journal: Journal, qtbot
) -> None:
    """At five keys a second; every key is counted, none is spared by the test."""
    writer = Writer(window_on(journal, place="plans", clock=_clock))
    writer.presses(K.Key_N, mods=CTRL | SHIFT)
    writer.types("dry-salted hard")
    writer.presses(K.Key_Return)
    writer.presses(K.Key_M, mods=CTRL)
    writer.presses(K.Key_Tab, K.Key_Tab)
    writer.types("150")
    writer.presses(K.Key_Return)
    writer.presses(K.Key_Return)
    for number, cells in enumerate(HARD):
        for place, cell in enumerate(cells):
            writer.types(cell)
            if (number, place) != (len(HARD) - 1, 3):
                writer.presses(K.Key_Tab)
    writer.presses(K.Key_Return, mods=CTRL)
    qtbot.waitUntil(lambda: writer.window.current.key == "vat")
    assert writer.keys / 5 < 180, writer.keys
    make = journal.makes.running()[0]
    plan = journal.plans.get(make.plan_id)
    assert plan.name == "dry-salted hard"
    assert [s.kind for s in plan.stages] == [cells[0] for cells in HARD]
    assert plan.stages[4].first_c_per_min == pytest.approx(0.2)
    assert plan.stages[12].minutes == 840
    assert plan.stages[12].pressure_kpa == pytest.approx(13.87, abs=0.01)
    assert plan.caution.startswith("Use pasteurised milk")
    assert (journal.setting(SETTING) or "") == ""
    assert journal.runs.where(make_id=make.id)[0].began_ms == NOW


def test_enter_in_an_untouched_last_cell_goes_to_the_next_line(writer: Writer) -> None:
    words = writer.line(2).words
    writer.at(2, 3)
    writer.presses(K.Key_Return)
    assert (writer.table.current_stage, writer.table.currentIndex().column()) == (3, 0)
    writer.at(2, 2)
    writer.presses(K.Key_F2, K.Key_Tab, K.Key_Return)  # opened by Tab, left as it was
    assert not writer.table.writing
    assert (writer.table.current_stage, writer.table.currentIndex().column()) == (3, 0)
    assert writer.line(2).words == words
    lines = len(writer.table.rows_model.rows)
    writer.at(lines - 2, 3)
    writer.presses(K.Key_Return)
    writer.types("dry")
    assert len(writer.table.rows_model.rows) == lines + 1
    assert writer.table.currentIndex().column() == 0


def test_milk_by_mass_is_taken_by_its_density(writer: Writer) -> None:
    field = writer.page.milk
    field.set_text("22 kg")
    assert field.value().stored == pytest.approx(22 / 1.030)  # milk at 20 °C, published
    assert "21.4 L, at 1.030 kg/L" in field.message.text()
    assert writer.page.title.text().endswith(", 21.4 L")
    assert field._unit.isHidden()
    writer.place.drafts.start()
    assert writer.place.journal.makes.running()[0].milk.litres == pytest.approx(22 / 1.030)


@pytest.mark.parametrize("text", ["22 kPa", "0", "milk"])
def test_bad_milk_is_marked_while_it_is_typed(writer: Writer, text: str) -> None:
    writer.page.milk.set_text(text)
    assert writer.page.milk.box.wrong
    assert writer.page.milk.message.text().startswith("▲")
    writer.page.milk.set_text("12")
    assert not writer.page.milk.box.wrong


def test_sizes_are_shown_with_few_digits_and_kept_exactly(writer: Writer) -> None:
    writer.page.milk.set_text("3 gal")
    assert writer.page.title.text().endswith(", 11.4 L")
    writer.page.mould.line.setFocus()
    writer.page.mould.line.selectAll()
    writer.types("6.5 in")
    writer.presses(K.Key_Return)
    assert writer.page.mould.line.text() == "165"
    writer.page.mould.line.setFocus()
    writer.table.setFocus()  # left as it is shown
    assert writer.place.author.settled.head.mould_mm == pytest.approx(165.1)
    writer.at(3, 3)
    writer.types("3/8 in")
    writer.presses(K.Key_Return)
    assert "9.5 mm" in writer.line(3).words
    assert writer.place.author.settled.rows[3].stage.size_mm == pytest.approx(9.525)

"""A plan's schedule written through the real window, where the plan is: by keys, cell by cell, in
one line, and lived."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.plans.draft_store import SETTING
from journal.exchange.calendar_file import write_calendar
from journal.keeping import Journal
from journal.records.care_typed import Ending, read_schedule
from journal.records.care_written import care_cell_text, care_lines
from journal.records.draft_text import read_drafts
from journal.records.instants import DAY_MS, from_iso, local
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans, read_plan, write_plan
from journal.records.plans import UNTIL_GONE, CareRule
from journal.reports.agenda import agenda_of
from journal.wording.care import CARE_PHRASES
from tests.desk.test_plan_writing import CTRL, K, Writer

HOUR_MS = DAY_MS // 24
NOW = from_iso("2026-03-14T07:58", "Europe/London")
ALT, SHIFT = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ShiftModifier
WHOLE = (
    "air dry 2 to 3 days at 16 °C, turn twice a day; cloth and fat; then turn weekly; "
    "taste at 3 and 6 months; eat from 6"
)
CLOTH_BOUND = (
    CareRule("dry", 1, 4, 2, room_c=16),
    CareRule("turn", 1, 4, 0.5),
    CareRule("bandage", 3, 4, 2, "cloth and fat"),
    CareRule("turn", 4, UNTIL_GONE, 7),
)


@pytest.fixture
def writer(window_on, journal: Journal) -> Writer:
    made = Writer(window_on(journal, place="plans", clock=_now))
    made.place.show_plan("cheddar type")
    return made


def _now() -> int:
    return NOW


def care_cells(writer: Writer) -> list[tuple[str, str, str, str]]:
    rows = [line for line in writer.table.rows_model.rows if line.care]
    return [(line.label, line.temp, line.minutes, line.words) for line in rows]


def fresh(writer: Writer) -> None:
    """A plan from nothing, with its name and a press."""
    writer.presses(K.Key_N, mods=CTRL | SHIFT)
    writer.types("cloth bound")
    writer.presses(K.Key_Return)
    writer.table.select_cell(0, 0)
    writer.types("press")
    writer.presses(K.Key_Return)


def test_a_schedule_in_one_line_becomes_its_lines(writer: Writer, journal: Journal) -> None:
    fresh(writer)
    keys = writer.keys
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types(WHOLE)
    output = writer.page.stage_words.text()
    assert output.startswith("air dry from day 1, 2 to 3 days, at 16.0 °C · turn from day 1 to 4")
    assert len(care_cells(writer)) == 6  # as it is typed
    writer.presses(K.Key_Return)
    assert writer.keys - keys == len(WHOLE) + 2
    assert care_cells(writer) == [
        ("air dry", "16.0", "for 2 to 3 days from day 1", ""),
        ("turn", "", "day 1 to 4, twice a day", ""),
        ("bandage", "", "day 3 to 4", "cloth and fat"),
        ("turn", "", "from day 4, weekly", ""),
        ("taste", "", "at 3 and 6 months", ""),
        ("eat", "", "from 6 months", ""),
    ]
    assert [line.label for line in writer.table.rows_model.rows if not line.care] == [
        "milk",
        "press",
    ]
    writer.presses(K.Key_S, mods=CTRL)
    plan = journal.plans.by_name("cloth bound")
    assert (plan.care, plan.taste_at_days, plan.eat_from_days) == (CLOTH_BOUND, (91, 183), 183)
    assert read_plan(write_plan(plan)).says_as(plan)
    # Closed and opened again, it is written the same.
    writer.place.show_plan("cheddar type")
    writer.place.show_plan("cloth bound")
    again = [tuple(care_cell_text(line, c) for c in ("stage", "temp", "minutes", "what"))
             for line in care_lines(plan)]  # fmt: skip
    assert care_cells(writer) == again


def test_every_cell_by_keys_and_each_is_a_step(writer: Writer, journal: Journal) -> None:
    fresh(writer)
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types("wax day 10")
    writer.presses(K.Key_Return, K.Key_Return)  # the cell, and on to a fresh line of care
    writer.types("tu")
    assert writer.table.editor.line.text() == "turn"  # the word is finished as it is typed
    writer.presses(K.Key_Tab)
    writer.types("54 F")
    assert "54.0 °F" in writer.page.stage_words.text() or "12.2" in writer.page.stage_words.text()
    writer.presses(K.Key_Tab)
    writer.types("from 2 weeks, weekly")
    assert "turn from day 14 on, weekly" in writer.page.stage_words.text()
    writer.presses(K.Key_Tab)
    writer.types("85 %; look at the underside")
    writer.presses(K.Key_Return)
    assert care_cells(writer)[1] == (
        "turn", "12.222", "from 2 weeks, weekly", "85 %; look at the underside",
    )  # fmt: skip
    steps = []
    while writer.place.author.undo_name:
        steps.append(writer.place.author.undo_name)
        writer.presses(K.Key_Z, mods=CTRL)
    assert steps[:5] == [
        "note of turn", "days of turn", "temperature of turn", "name of turn", "insert a line",
    ]  # fmt: skip
    assert care_cells(writer) == []
    for _ in steps:
        writer.presses(K.Key_Y, mods=CTRL)
    assert len(care_cells(writer)) == 2


def test_a_tasting_takes_a_note_that_is_said_when_it_is_due(
    writer: Writer, journal: Journal, tmp_path
) -> None:
    fresh(writer)
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types("taste at 2 and 3 months: with the trier; taste at 6 months")
    writer.presses(K.Key_Return)
    writer.at(writer.last_stage + 2, 3)
    writer.types("open one")
    assert "taste on day 183: open one" in writer.page.stage_words.text()
    writer.presses(K.Key_Return)
    assert care_cells(writer) == [
        ("taste", "", "at 2 and 3 months", "with the trier"),
        ("taste", "", "at 6 months", "open one"),
    ]
    writer.presses(K.Key_S, mods=CTRL)
    plan = journal.plans.by_name("cloth bound")
    assert plan.taste_notes == ("with the trier", "with the trier", "open one")
    assert read_plan(write_plan(plan)).says_as(plan)
    make = journal.makes.begin(plan, Milk(10.0), NOW - 90 * DAY_MS)
    journal.makes.finish(make.id or 0, [1.0], NOW - 89 * DAY_MS)
    item = next(i for i in agenda_of(journal, NOW).now if i.title.startswith("Taste"))
    assert item.detail.endswith("; with the trier")
    path = tmp_path / "care.ics"
    write_calendar(journal, path, NOW)
    text = path.read_bytes().decode().replace("\r\n ", "")
    assert "with the trier" in text
    assert "open one" in text
    # A wheel's own schedule says it too, and what was written is read back the same.
    (wheel,) = journal.wheels.where(make_id=make.id)
    own = read_schedule("taste at 91 days: cut a wedge", Ending(1, 1)).lines
    journal.schedules.give_wheel(wheel, own)
    assert journal.schedules.of_wheel(wheel) == [*own]
    assert journal.care_tasks.lives()[0].taste_note(91) == "cut a wedge"


def test_lines_move_are_doubled_and_deleted(writer: Writer) -> None:
    first = writer.last_stage + 1
    kinds = [cells[0] for cells in care_cells(writer)]
    assert kinds == ["weigh", "bandage", "turn", "turn", "weigh", "taste", "eat"]
    writer.at(first + 1)
    writer.presses(K.Key_Up, mods=ALT)
    assert [cells[0] for cells in care_cells(writer)][:2] == ["bandage", "weigh"]
    writer.presses(K.Key_Up, mods=ALT)  # not among the stages
    assert [cells[0] for cells in care_cells(writer)][:2] == ["bandage", "weigh"]
    writer.presses(K.Key_D, mods=CTRL | SHIFT)
    assert [cells[0] for cells in care_cells(writer)][:3] == ["bandage", "bandage", "weigh"]
    writer.presses(K.Key_Delete, mods=CTRL)
    writer.presses(K.Key_Delete, mods=CTRL)
    assert [cells[0] for cells in care_cells(writer)] == [
        "bandage", "turn", "turn", "weigh", "taste", "eat",
    ]  # fmt: skip
    # The last stage does not move among the care.
    last = writer.last_stage
    writer.at(last)
    writer.presses(K.Key_Down, mods=ALT)
    assert writer.last_stage == last


def test_what_is_not_understood_stays_and_holds_the_plan_back(
    writer: Writer, journal: Journal
) -> None:
    writer.at(writer.last_stage + 1, 2)
    writer.types("soon")
    assert "“soon” is not understood as days" in writer.page.stage_words.text()
    assert writer.table.editor.wrong
    writer.presses(K.Key_Return)
    row = writer.last_stage + 1
    assert (writer.line(row).minutes, writer.line(row).loose) == ("soon", {"minutes"})
    writer.presses(K.Key_S, mods=CTRL)
    assert "“soon” is not understood" in writer.place.messages.text("draft")
    assert journal.plans.names() == []
    # A part of a schedule that is not understood costs the others nothing.
    writer.at(row)
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types("brush weekly from 10 days; wibble")
    writer.presses(K.Key_Return)
    assert [line.label for line in writer.table.rows_model.rows if line.care][1:3] == [
        "brush", "wibble",
    ]  # fmt: skip
    # All of it is in the journal's drafts, and read back the same.
    writer.place.save_state()
    held = read_drafts(journal.setting(SETTING) or "")
    assert held["plan:cheddar type"] == writer.place.author.settled
    writer.presses(K.Key_F8, mods=SHIFT)
    assert writer.page.stages.current_stage == row


def test_words_that_are_care_become_a_line(writer: Writer) -> None:
    fresh(writer)
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types("air dry 2 to 3 days at 16 C")
    writer.presses(K.Key_Return)
    writer.types("turn twice a day")
    assert "turn from day 1 to 4, twice a day" in writer.page.stage_words.text()
    writer.presses(K.Key_Return)
    assert care_cells(writer) == [
        ("air dry", "16.0", "for 2 to 3 days from day 1", ""),
        ("turn", "", "day 1 to 4, twice a day", ""),
    ]


def test_a_cloth_bound_cheese_is_written_and_lived(window_on, journal: Journal) -> None:
    """Written with its whole schedule by keys, a make begun from it, its care asked for on the
    right days at Today and in Ageing, and given there by key."""
    now = [NOW]
    writer = Writer(window_on(journal, place="plans", clock=lambda: now[0]))
    fresh(writer)
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types(WHOLE)
    writer.presses(K.Key_Return)
    writer.presses(K.Key_Return, mods=CTRL)  # start a make
    (make,) = journal.makes.all()
    assert writer.keys < 150  # two minutes at 75 keys a minute
    journal.makes.end_stage(make.id, NOW + 12 * HOUR_MS)
    journal.makes.finish(make.id, [1.2], NOW + 13 * HOUR_MS)

    def asked(day: float) -> list[str]:
        """What Today lists, and what Ageing lists for the wheel, which is the same."""
        now[0] = NOW + round(day * DAY_MS)
        writer.window.go("today")
        today = [item.title for item in writer.place.list.rows_model.rows]
        writer.window.go("room")
        wants = writer.place.page.current().dues
        due = [one.kind for one in wants if one.on <= local(now[0], journal.zone).date()]
        assert len(due) == len([title for title in today if title.endswith(("-A", "days"))])
        return today

    def give(day: float, letter: Qt.Key) -> None:
        asked(day)
        writer.place.page.table.setFocus()
        writer.presses(letter)

    assert asked(0.5) == []
    assert asked(1.1) == ["Air dry HL-0001-A", "Turn HL-0001-A"]
    writer.presses(K.Key_Return, mods=CTRL)  # what it needs first
    give(1.1, K.Key_T)
    assert asked(1.3) == ["Turn HL-0001-A"]  # twice a day
    give(1.5, K.Key_T)
    assert asked(1.5) == []
    assert asked(3.1) == ["Turn HL-0001-A", "Bandage HL-0001-A"]
    give(3.2, K.Key_D)
    give(4.2, K.Key_T)
    assert asked(10) == []
    assert asked(11) == ["Turn HL-0001-A"]  # a week after the last
    give(86, K.Key_T)
    assert asked(91) == ["Taste HL-0001 at 91 days"]
    assert [care.kind for care in journal.cares.all()] == [
        "dry", "turn", "turn", "bandage", "turn", "turn",
    ]  # fmt: skip


def test_a_common_schedule_is_chosen_and_changed(writer: Writer, qtbot) -> None:
    """By the mouse alone, and by keys; its caution and its room come with it, as one step."""
    fresh(writer)
    page = writer.page
    assert page.schedule.isVisible()
    QTest.mouseClick(page.schedule, Qt.MouseButton.LeftButton)
    menu = QApplication.activePopupWidget()
    named = [action.text() for action in menu.actions()]
    assert named == [
        "Hard, cloth-bound", "Hard, waxed", "Washed rind", "Bloomy rind", "Blue",
        "Fresh or in brine",
    ]  # fmt: skip
    assert all("ource" in action.toolTip() for action in menu.actions())
    where = menu.actionGeometry(menu.actions()[3]).center()
    QTest.mouseClick(menu, Qt.MouseButton.LeftButton, pos=where)
    assert [cells[0] for cells in care_cells(writer)] == [
        "air dry", "turn", "wrap", "move", "taste", "eat",
    ]  # fmt: skip
    assert "Listeria" in writer.place.picture.caution.text()
    assert "University of Guelph" in writer.place.messages.text("draft")
    assert not page.schedule.isVisible()
    assert writer.place.author.settled.head.room_c == 13
    writer.presses(K.Key_Z, mods=CTRL)
    assert care_cells(writer) == []
    assert "Listeria" not in writer.place.picture.caution.text()
    writer.presses(K.Key_A, mods=CTRL | SHIFT)
    menu = QApplication.activePopupWidget()
    QTest.keyClick(menu, K.Key_Down)
    QTest.keyClick(menu, K.Key_Return)
    assert care_cells(writer)[3] == (
        "bandage",
        "",
        "day 3 to 4",
        "two layers of cloth rubbed with fat",
    )
    writer.at(writer.last_stage + 3, 2)
    writer.types("day 1 to 4, daily")
    writer.presses(K.Key_Return)
    assert care_cells(writer)[2][2] == "day 1 to 4, daily"


def test_a_schedule_is_written_by_mouse_alone(writer: Writer, qtbot) -> None:
    """Line by line from the menu of care, each behind the one before it, as one step each."""
    fresh(writer)
    page = writer.page

    def choose(kind: str, phrase: str) -> None:
        QTest.mouseClick(page.care, Qt.MouseButton.LeftButton)
        menu = QApplication.activePopupWidget()
        shown = {action.text(): action for action in menu.actions()}
        under = shown[kind].menu()
        output = {action.text(): action for action in under.actions()}
        for one, action in ((menu, shown[kind]), (under, output[phrase])):
            qtbot.waitUntil(one.isVisible)
            spot = one.actionGeometry(action).center()
            QTest.mouseMove(one, spot)
            QTest.mouseClick(one, Qt.MouseButton.LeftButton, pos=spot)
        qtbot.waitUntil(lambda: QApplication.activePopupWidget() is None)

    choose("Air dry", "Air dry 2 to 3 days at 16 °C")
    choose("Bandage", "Bandage with cloth and fat")
    choose("Turn", "Turn weekly")
    choose("Taste", "Taste at 3 and 6 months")
    choose("Eat", "Eat from 6 months")
    assert care_cells(writer) == [
        ("air dry", "16.0", "for 2 to 3 days from day 1", ""),
        ("bandage", "", "day 3 to 4", "cloth and fat"),
        ("turn", "", "from day 4, weekly", ""),
        ("taste", "", "at 3 and 6 months", ""),
        ("eat", "", "from 6 months", ""),
    ]
    writer.presses(K.Key_Z, mods=CTRL)
    assert [cells[0] for cells in care_cells(writer)][-1] == "taste"


@pytest.mark.parametrize("kind", CARE_PHRASES)
def test_every_phrase_of_the_menu_is_understood_as_what_it_stands_under(kind: str) -> None:
    for phrase in CARE_PHRASES[kind]:
        read = read_schedule(phrase, Ending(1.0, 1.0))
        assert read.why is None, phrase
        assert [line.kind for line in read.lines] == [kind], phrase


def test_care_out_of_sight_is_named_with_a_way_to_it(writer: Writer, qtbot) -> None:
    page = writer.page
    writer.window.resize(1440, 900)
    writer.place.show_plan("cheddar type")
    count = sum(line.care for line in writer.table.rows_model.rows)
    qtbot.waitUntil(page.below.isVisible)
    assert page.below.text().startswith(f"↓ {count} care lines below")
    QTest.mouseClick(page.below, Qt.MouseButton.LeftButton)
    first = next(n for n, line in enumerate(writer.table.rows_model.rows) if line.care)
    assert writer.table.current().care
    assert writer.table.rowViewportPosition(first) >= 0
    assert not page.below.isVisible()


def test_plans_that_come_along_say_from_when_they_are_eaten() -> None:
    for plan in builtin_plans():
        if plan.taste_at_days:
            assert plan.eat_from_days is not None, plan.name
            assert plan.eat_from_days <= plan.taste_at_days[-1], plan.name


def test_the_whole_plan_goes_on_with_the_months(writer: Writer) -> None:
    """The day as a block, then calendar months: each kind of care, the tastings, eating from."""
    fresh(writer)
    writer.presses(K.Key_Insert, mods=CTRL)
    writer.types(WHOLE)
    months = writer.place.picture.months.made()
    assert not months.isVisible()
    writer.presses(K.Key_Return)
    writer.presses(K.Key_F6)
    assert months.isVisible()
    assert writer.place.picture.whole.text() == "Whole plan, 6 months"
    assert months._rows() == ["dry", "turn", "bandage", "taste", "eat"]
    names = [name for _, name in months._month_ticks(months._scene) if name]
    assert names == ["Apr", "May", "Jun", "Jul", "Aug", "Sep"]
    assert "eat  day 183  13 Sep" in months.hover_text(months.plot, 183, -4)
    assert months.hover_text(months.plot, 11, -1) == "turn  day 11  25 Mar 2026"
    assert months.hover_text(months.plot, 91, -2) == ""
    assert "Bandage once, from day 3 to 4: cloth and fat." in months.accessibleDescription()
    # A key in a cell moves its marks.
    writer.at(writer.last_stage + 6, 2)
    writer.types("from 3 months")
    assert months._scene.eat == 91
    writer.presses(K.Key_F6)
    assert not months.isVisible()

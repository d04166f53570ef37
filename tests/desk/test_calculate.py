"""Calculate: every sum through its form, by real keys and by the mouse."""

from __future__ import annotations

import re
import shlex

import pytest
from PySide6.QtCore import QEvent, QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog

from journal.desk.calculate.dialog import CalculateDialog
from journal.desk.form.readers import ChoiceField
from journal.desk.window import Window
from journal.keeping import Journal
from journal.topics import (
    ageing,
    brining,
    cheese,
    curd,
    heat,
    kitchen,
    limits,
    milk,
    packets,
    vat,
    wheel,
)
from journal.topics.registry import STAGES, key, topic, topics
from journal.topics.written import topic_title
from tests import present
from tests.desk.hands import Hands
from tests.outside.test_reckon_command import PUBLISHED
from tests.outside.test_reckon_trade import BRINED

CTRL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture(scope="module")
def calculate(qapp, tmp_path_factory) -> CalculateDialog:
    """Calculate over a real window, opened once and used by every sum of this file."""
    folder = tmp_path_factory.mktemp("calculate")
    journal = Journal.create(folder / "k.vatside", letters="HL", zone="Europe/London")
    settings = QSettings(str(folder / "s.ini"), QSettings.Format.IniFormat)
    window = Window(journal, clock=present.now, settings=settings, daily_backup=False)
    window.show()
    window.run("calculate")
    dialog = dialog_of(window)
    yield dialog
    dialog.close()
    window.close()
    journal.close()


def dialog_of(window: Window) -> CalculateDialog:
    """The dialog that is open over a window, with the keys."""
    dialogs = [d for d in window.findChildren(QDialog) if isinstance(d, CalculateDialog)]
    dialog = next(d for d in dialogs if d.isVisible())
    QTest.qWaitForWindowExposed(dialog)
    dialog.activateWindow()
    return dialog


def given(line: str) -> tuple[str, dict[str, str]]:
    """A line of the command as its topic and what is typed, by key."""
    name, *words = shlex.split(line)
    out: dict[str, str] = {}
    for word in words:
        before, mark, value = word.partition("=")
        if mark:
            at = key(topic(name), before).name
            out[at] = value
        elif out:
            out[at] += f" {word}"
        else:
            out[topic(name).lead] = word
    return name, out


def ask(dialog: CalculateDialog, name: str, typed: dict[str, str]) -> dict[str, str]:
    """Find a sum by typing, fill its form by keys alone, and read the answer off the screen."""
    dialog.activateWindow()
    assert QTest.qWaitForWindowActive(dialog)
    hands = Hands(dialog)
    if dialog.form.topic.name != name:
        dialog.topics.filter.begin()
        hands.press(Qt.Key.Key_Backspace).type(topic_title(topic(name)).lower())
        assert dialog.form.topic.name == name
        hands.press(Qt.Key.Key_Return)
    for made in dialog.form.fields.values():
        made.set_text("")
    for each, text in typed.items():
        made = dialog.form.fields[each]
        for _ in range(2 * len(dialog.form.fields) + 12):
            if QApplication.focusWidget() is made.entry:
                break
            hands.press(Qt.Key.Key_Tab)
        assert QApplication.focusWidget() is made.entry, f"{each} is not reached by keys"
        if isinstance(made, ChoiceField):
            while made.text() != text:
                before = made.choice.currentIndex()
                hands.press(Qt.Key.Key_Down)
                assert made.choice.currentIndex() > before
        else:
            hands.type(text)
    return {line.key: line.text for line in dialog.answer.lines}


def first_number(text: str) -> tuple[float, float]:
    """The number that a text begins with, and half of its last digit."""
    found = re.match(r"−?(\d+)(?:\.(\d+))?", text)
    assert found, text
    return float(found[0].replace("−", "-")), 0.5 * 10.0 ** -len(found[2] or "")


# Those of a sum one after another, so that it is found by typing once.
BY_SUM = sorted(PUBLISHED, key=lambda row: row[0].split()[0])


@pytest.mark.parametrize(
    ("line", "answer", "value", "tolerance", "source"), BY_SUM, ids=[row[0] for row in BY_SUM]
)
def test_a_published_value_through_its_form(line, answer, value, tolerance, source, calculate):
    lines = ask(calculate, *given(line))
    assert not [text for text in lines.values() if re.search(r"[a-z]_[a-z]", text)]
    shown = lines[answer]
    if isinstance(value, str):
        assert shown.startswith(value)
        return
    number, rounded = first_number(shown)
    assert number == pytest.approx(value, abs=tolerance + rounded)


@pytest.mark.parametrize(("size", "salt", "moisture", "cheese", "hours", "source"), BRINED)
def test_published_hours_in_brine_through_the_form(
    size, salt, moisture, cheese, hours, source, calculate
):
    line = f"brining-time target={salt} moisture_pct={moisture} {size} pct_w_w=21 cheese={cheese}"
    number, _ = first_number(ask(calculate, *given(line))["brining_h"])
    assert number / 3 <= hours[0]
    assert hours[1] <= 5 * number


# Sums that were not there before the window had any, and those that took in more with it.
ADDED = {"brining-time", "culture-units", "brine-recipe", "milk-mix", "acid-limits",
         "growth-limits", "ripening-days", "humidity-salts", "moulds", "spring", "cost",
         "eyes"}  # fmt: skip


def test_the_count_of_published_values():
    """Printed with -s: how many published values the forms are held to, of how many sums."""
    sums = [row[0].split()[0] for row in PUBLISHED] + ["brining-time"] * len(BRINED)
    added = sum(name in ADDED or name == "pasteurise" for name in sums)
    print(f"\n{len(sums)} published values, {added} of added sums")  # noqa: T201
    assert set(sums) == set(topics())
    assert added >= 80
    assert len(sums) >= 130


def test_every_sum_has_its_stage_once():
    named = [name for names in STAGES.values() for name in names]
    assert len(named) == len(set(named))
    rooms = (milk, cheese, vat, packets, heat, limits, curd, wheel, brining, ageing, kitchen)
    assert set(named) == {one.name for room in rooms for one in room.TOPICS}
    titles = [topic_title(one) for one in topics().values()]
    assert len(titles) == len(set(titles))


def test_every_sum_is_reached_by_the_mouse_alone(calculate):
    """Each line of the list is clicked; its form stands there and takes the keys."""
    calculate.topics.filter.line.clear()
    seen = []
    words = calculate.topics.list
    for number, row in enumerate(words.rows):
        index = words.rows_model.index(number, 0)
        words.scrollTo(index)
        at = words.visualRect(index).center()
        if row.head:
            QTest.mouseClick(words.viewport(), Qt.MouseButton.LeftButton, pos=at)
            assert not words.current().head
            continue
        QTest.mouseClick(words.viewport(), Qt.MouseButton.LeftButton, pos=at)
        seen.append(calculate.form.topic.name)
        assert calculate.form.isAncestorOf(QApplication.focusWidget())
    assert seen == list(topics())


def test_every_sum_is_found_in_the_finder_and_opened_from_the_menu(window_on, journal):
    window = window_on(journal)
    hands = Hands(window)
    hands.press(Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier).type("press load")
    hands.press(Qt.Key.Key_Return)
    dialog = dialog_of(window)
    assert dialog.form.topic.name == "press"
    assert dialog.form.isAncestorOf(QApplication.focusWidget())
    targets = {one.target for one in window.sums.things()}
    assert targets == {("sum", name) for name in topics()}
    dialog.close()
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window)
    hands.press(Qt.Key.Key_C, CTRL_SHIFT)
    assert dialog_of(window).isVisible()


NONSENSE = ["abc", "-5", "1e999", "12 parsecs", "<b>4</b>", "9" * 400]


@pytest.mark.parametrize("name", sorted(topics()))
def test_nonsense_gets_a_sentence_and_nothing_is_lost(name, calculate):
    """Each field in turn is given each piece of nonsense: it stays there, marked or answered."""
    ask(calculate, name, {})
    for made in calculate.form.fields.values():
        if isinstance(made, ChoiceField):
            continue
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        for text in NONSENSE:
            made.set_text(text)
            output = made.message.text() or calculate.answer.sentence.text()
            assert calculate.answer.lines or output.endswith("."), (made.key.name, text)
            assert "_" not in output.replace(text, ""), output
            assert "Traceback" not in output
            assert made.text() == text
        made.set_text("")


def test_what_was_typed_is_there_when_it_is_opened_again(window_on, journal, saved):
    first = window_on(journal)
    first.run("calculate")
    ask(dialog_of(first), "press", {"load": "20 kg", "mould": "6.5 in", "stack": "nonsense"})
    dialog_of(first).close()
    first.close()
    second = window_on(journal)
    second.run("calculate")
    dialog = dialog_of(second)
    assert dialog.form.topic.name == "press"
    assert dialog.form.texts() == {"load": "20 kg", "mould": "6.5 in", "stack": "nonsense"}


def test_who_types_pounds_and_inches_reads_them_too(calculate):
    shown = ask(calculate, "press", {"load": "44 lb", "mould": "6.5 in"})
    assert shown["load_kg"].endswith("(44 lb)")
    shown = ask(calculate, "mould", {"milk": "2 gal", "mould": "6.5 in"})
    assert " in)" in shown["height_mm"]
    shown = ask(calculate, "press", {"load": "20 kg", "mould": "165 mm"})
    assert "lb" not in shown["load_kg"]
    shown = ask(calculate, "press", {"pressure": "14 psi", "mould": "165 mm"})
    assert "(14 psi)" in shown["pressure_kpa"]


def test_a_picture_follows_what_is_typed(calculate, qtbot):
    """The curve is drawn once nobody types on, and says in a sentence what is to be seen."""
    ask(calculate, "ripening-days", {"days": "30 d", "rooms": "12 C", "to_temp": "8 C"})
    qtbot.waitUntil(calculate.drawn)
    chart = calculate.answer.chart
    assert chart.isVisibleTo(calculate)
    assert "45 d at 8" in chart.accessibleDescription()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Backspace)
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Backspace)
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Backspace)
    assert not chart.isVisibleTo(calculate)


def test_in_a_narrow_window_the_answer_is_in_sight_beside_the_title(calculate):
    """The form is longer than the window is high there, and the answer stands below it."""
    size = calculate.size()
    try:
        calculate.resize(1300, 760)
        shown = ask(calculate, "rennet", {"milk": "10 L", "strength": "250"})
        assert calculate.brief.text() == ""
        calculate.resize(900, 540)
        assert calculate.brief.text() == shown["ml"] == "2.06 ml"
        ask(calculate, "rennet", {"milk": "10 L", "strength": "nonsense"})
        assert calculate.brief.text() == ""
    finally:
        calculate.resize(size)

"""The desk's one form: each kind of field is read its own way, and a fault is said at its field."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.form.ask import AskRow
from journal.desk.form.chips import ChipEntry
from journal.desk.form.choice import ChoiceOption
from journal.desk.form.fields import Fields
from journal.desk.form.form import Form, FormSpec
from journal.desk.form.line_field import TextLine
from journal.desk.form.page import FormPage
from journal.desk.form.rows import FieldRows
from journal.desk.form.spec import (
    AMOUNT,
    AS_TYPED,
    CHIPS,
    CHOICE,
    DAY,
    NUMBER,
    ROW,
    SECRET,
    Field,
    FieldContext,
)
from journal.desk.form.suggest import Suggestion
from journal.records import RecordError
from journal.records.dates import read_date
from journal.records.instants import from_iso

INSTANTS = ("Europe/London", from_iso("2026-03-14T09:25", "Europe/London"))
OPTIONS = (ChoiceOption("a", "the first"), ChoiceOption("b", "the second"))


@pytest.fixture
def page(qtbot):
    page = QWidget()
    page.resize(700, 400)
    qtbot.addWidget(page)
    return page


def show(page, qtbot) -> None:
    page.show()
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)


def read(page, field: Field, typed: str):
    fields = Fields([field], FieldContext(page, INSTANTS), page)
    fields.put_texts([typed])
    filled = fields.read()
    return fields.made[field.key].message.text() if filled is None else filled.values[field.key]


@pytest.mark.parametrize(
    ("field", "typed", "saved"),
    [
        (Field("k", "Name"), "  calf   rennet ", "calf rennet"),
        (Field("k", "Name"), "  ", None),
        (Field("k", "Name", needed=True), "", "▲ Name: nothing was typed."),
        (Field("k", "Kind", choices=("raw", "rich"), only=True), "ri", "rich"),
        (Field("k", "Kind", choices=("raw", "rich"), only=True), "r",
         "▲ “r” is not one of these: raw, rich."),
        (Field("k", "Pattern", AS_TYPED), " T=  (.*) ", "T=  (.*)"),
        (Field("k", "Password", SECRET), " rennet ", " rennet "),
        (Field("k", "On", DAY), "3 March", read_date("3 March", *INSTANTS)),
        (Field("k", "Milk", "temperature", "degC"), "88 F", pytest.approx(31.11, abs=0.01)),
        (Field("k", "Kind", CHOICE, options=OPTIONS), "b", "b"),
        (Field("k", "Makes", NUMBER), " 8,5 ", 8.5),
        (Field("k", "Makes", NUMBER), "eight", "▲ “eight” is not a number."),
        (Field("k", "Kind", ROW, options=OPTIONS), "b", "b"),
    ],
)  # fmt: skip
def test_each_kind_is_read_its_own_way(page, field, typed, saved):
    assert read(page, field, typed) == saved


def test_an_amount_is_a_weight_or_a_volume(page):
    typed = read(page, Field("k", "Left", AMOUNT, "g"), "50 ml")
    assert (typed.quantity, typed.stored) == ("volume_ml", 50)


def test_a_secret_is_never_shown(page):
    fields = Fields([Field("k", "Password", SECRET)], FieldContext(page), page)
    assert fields.lines["k"].displayText() != (fields.lines["k"].setText("rennet") or "rennet")


def test_what_could_not_be_kept_is_said_and_stays(page, qtbot):
    form = Form(page)
    saved = []

    def save(filled):
        if filled.text("note") == "no":
            raise RecordError("That cannot be.")
        saved.append(filled.text("note"))

    form.show_form(FormSpec("A form", (Field("first", "First"), Field("note", "Note")), save))
    page.show()
    qtbot.keyClicks(form.field("note").line, "no")
    qtbot.keyClick(form.field("note").line, Qt.Key.Key_Return)
    assert form.field("note").message.text() == "▲ That cannot be."
    assert form.field("note").line.text() == "no"
    qtbot.keyClicks(form.field("note").line, "w")
    assert form.field("note").message.text() == ""
    qtbot.keyClick(form.field("note").line, Qt.Key.Key_Return)
    assert saved == ["now"]
    assert not form.open


def test_fields_in_rows_have_names_and_tell_of_each_letter(page, qtbot):
    rows = FieldRows((Field("host", "Broker", AS_TYPED), Field("tls", "Security", CHOICE,
                 name="TLS", options=OPTIONS)), page)  # fmt: skip
    assert rows.lines["host"].accessibleName() == "Broker"
    assert rows.choices["tls"].accessibleName() == "TLS"
    with qtbot.waitSignal(rows.changed):
        rows.put({"host": "broker.local", "tls": "b"})
    assert rows.texts() == {"host": "broker.local", "tls": "b"}


def test_a_question_stands_in_the_order_of_the_page(page, qtbot):
    before, row, after = TextLine(name="before"), AskRow(), TextLine(name="after")
    column = QVBoxLayout(page)
    for part in (before, row, after):
        column.addWidget(part)
    show(page, qtbot)
    spec = FormSpec("A note", (Field("note", "Note", AS_TYPED),), print, "note")
    for _ in range(2):
        row.ask(spec)
        assert row.lines[0].hasFocus()
        qtbot.keyClick(row.lines[0], Qt.Key.Key_Tab)
        assert after.hasFocus()
        qtbot.keyClick(after, Qt.Key.Key_Tab)
        assert before.hasFocus()
        qtbot.keyClick(before, Qt.Key.Key_Tab)
        assert row.lines[0].hasFocus()
        qtbot.keyClick(row.lines[0], Qt.Key.Key_Backtab)
        assert before.hasFocus()


def test_two_lines_are_filled_by_enter_and_handed_over_at_once(page, qtbot):
    row, saved = AskRow(page), []
    fields = (Field("long", "How long", AS_TYPED), Field("what", "For what", AS_TYPED))
    show(page, qtbot)
    row.ask(FormSpec("A timer", fields, saved.append, "timer"))
    qtbot.keyClicks(row.lines[0], "5 min")
    qtbot.keyClick(row.lines[0], Qt.Key.Key_Return)
    assert row.lines[1].hasFocus()
    qtbot.keyClicks(row.lines[1], "stir")
    qtbot.keyClick(row.lines[1], Qt.Key.Key_Return)
    assert saved[0].values == {"long": "5 min", "what": "stir"}
    assert not row.asking


def names_like(text: str) -> list[Suggestion]:
    return [Suggestion(text, "", ChipEntry(text, text))] if text else []


def test_a_page_is_filled_by_enter_and_comes_back_half_typed(qtbot):
    def made() -> FormPage:
        fields = (
            Field("who", "Who", CHIPS, look=names_like),
            Field("kind", "Kind", ROW, options=OPTIONS, says={"a": "The usual.", "b": "Rare."}),
            Field("why", "Why", AS_TYPED, only_where=("kind", ("b",))),
            Field("day", "Day", AS_TYPED),
        )
        page = FormPage("A page", fields, first="who", away="All pages")
        qtbot.addWidget(page)
        show(page, qtbot)
        return page

    def press(key):
        qtbot.keyClick(page.focusWidget(), key)

    page = made()
    assert page.half_typed() is None
    line, [kind] = page.fields.chips["who"].line, page.fields.rows.values()
    page.setFocus()
    for name in ("Orla", "Tam"):
        qtbot.keyClicks(line, name)
        press(Qt.Key.Key_Return)
    qtbot.keyClicks(line, "Si")
    half = page.half_typed()
    press(Qt.Key.Key_Backspace)
    press(Qt.Key.Key_Backspace)
    press(Qt.Key.Key_Return)
    assert kind.isAncestorOf(page.focusWidget())
    press(Qt.Key.Key_Return)  # "why" is not asked of the usual
    assert page.focusWidget() is page.fields.lines["day"]
    press(Qt.Key.Key_Return)
    assert page.focusWidget() is page.begin
    kind.choose("b")
    assert page.fields.lines["why"].isVisible()
    assert page.fields.made["kind"].message.text() == "Rare."

    page = made()
    page.recall(half)
    assert page.fields.chips["who"].names() == ["Orla", "Tam"]
    assert page.fields.chips["who"].line.text() == "Si"
    assert page.half_typed() == half


def test_arrows_step_a_number_within_its_bounds(page, qtbot):
    fields = Fields([Field("k", "Makes", NUMBER, text="8")], FieldContext(page), page)
    number = fields.numbers["k"]
    number.bound(4, 9, 1, 0)
    announced = []
    number.edited.connect(lambda: announced.append(number.value()))
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Down):
        qtbot.keyClick(number.line, key)
    assert announced == [9, 9, 8]

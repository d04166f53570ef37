"""The help: opened where one is, searched, its words; the glossary against the screens' words; the
way back; versions and licences."""

from __future__ import annotations

import os
import re
from functools import cache
from pathlib import Path

import pytest
from PySide6.QtCore import QAbstractListModel, QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QLabel,
    QLineEdit,
    QWidget,
)

from journal.desk.about import parts
from journal.desk.help.dialog import HelpDialog
from journal.desk.places import PLACES
from journal.desk.tastings.place import BLIND, PANEL, TESTS
from journal.records.kinds import ATTRIBUTES, CARE_KINDS, INGREDIENT_KINDS, STAGE_KINDS
from journal.records.tables import table
from journal.topics.registry import topics
from journal.topics.written import topic_title
from journal.wording.help import glossary, help_pages, search_help, words_in
from tests import present
from tests.desk.hands import Hands

ALT = Qt.KeyboardModifier.AltModifier
_WORD = re.compile(r"[^\W\d_]{3,}")

_SHORT = 12  # letters; what is shorter is no sentence of a publication
# Plain words of a kitchen and a calendar that Python's own library happens not to write.
PLAIN = Path(__file__).with_name("plain_words.txt")
WORDS_OF_THE_TRADE = Path("journal/wording/README.md")


@cache
def _plain() -> frozenset[str]:
    """Words that Python's own library is written in: plain English, of no trade of ours."""
    folder = Path(os.__file__).parent
    text = "\n".join(
        path.read_text(encoding="utf-8", errors="replace")
        for path in (*folder.glob("*.py"), *folder.glob("*/*.py"))
        if "site-packages" not in path.parts and "test" not in path.parts
    )
    return frozenset(word.lower() for word in _WORD.findall(text)) | frozenset(
        PLAIN.read_text(encoding="utf-8").split()
    )


def texts_of(root: QWidget) -> set[str]:
    """What stands on a page: labels, buttons, choices, tables with their heads, names."""
    out: set[str] = set()
    for one in (root, *root.findChildren(QWidget)):
        out |= {one.accessibleName(), one.toolTip()}
        if isinstance(one, QLabel | QAbstractButton):
            out.add(one.text())
        if isinstance(one, QLineEdit):
            out.add(one.placeholderText())
        if isinstance(one, QComboBox):
            out |= {one.itemText(at) for at in range(one.count())}
        if isinstance(one, QAbstractItemView) and one.model() is not None:
            out |= _cells(one)
    return out


def _cells(view: QAbstractItemView) -> set[str]:
    model, top = view.model(), QModelIndex()
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(top)
    heads = {
        str(model.headerData(column, Qt.Orientation.Horizontal) or "") for column in range(columns)
    }
    cells = {
        str(model.index(row, column).data() or "")
        for row in range(min(200, model.rowCount(top)))
        for column in range(columns)
    }
    return heads | cells


def _without_quotes(text: str) -> str:
    """A text without what a publication is quoted to say, in its own words."""
    for quote in _quotes() if len(text) > _SHORT else ():
        text = text.replace(quote, " ")
    return text


@cache
def _quotes() -> tuple[str, ...]:
    """What the tables of publications say, the longest first."""
    columns = {"causes": ("cause", "remedy", "threshold"), "effects": ("change", "size"),
               "disagreements": ("title", "text")}  # fmt: skip
    found = {
        text for name, heads in columns.items() for head in heads for text in table(name)[head]
    }
    return tuple(sorted((one for one in found if len(one) > _SHORT), key=len, reverse=True))


def _unexplained(texts: set[str], plain: frozenset[str]) -> set[str]:
    """The words of these texts that are neither plain nor explained."""
    known = {word.lower() for row in glossary() for form in row.forms()
             for word in _WORD.findall(form)}  # fmt: skip
    words = {word.lower() for text in texts for word in _WORD.findall(text)}
    return {w for w in words if w not in plain and w not in known and w.rstrip("s") not in known}


def test_every_word_of_the_trade_on_the_screens_is_explained(sample, window_on, qtbot):
    window = window_on(sample, clock=present.now)
    texts = {command.title for command in window.commands()}
    for entry in PLACES:
        window.go(entry.key)
        qtbot.waitUntil(window.settled, timeout=60_000)
        texts |= texts_of(window) | {command.title for command in window.current.commands()}
    for part in (BLIND, TESTS, PANEL):
        window.go("tastings")
        window.current.show_part(part)
        qtbot.waitUntil(window.settled, timeout=60_000)
        texts |= texts_of(window.current)
    for topic in topics().values():
        texts |= {topic_title(topic), topic.summary, *(one.name for one in topic.keys)}
    people = {one.name for one in sample.assessors.all()}
    names = {word.lower() for name in people for word in _WORD.findall(name)}
    missing = _unexplained(set(map(_without_quotes, texts)), _plain() | names)
    assert not missing, (
        f"on the screens, but neither in resources/tables/glossary.csv nor, as plain words, in "
        f"{PLAIN.name}: {sorted(missing)}"
    )


def test_every_word_we_declare_is_explained():
    text = WORDS_OF_THE_TRADE.read_text(encoding="utf-8")
    listed = text.split("Trade words:")[1].split("\n\n")[0].replace("\n", " ").rstrip(".")
    trade = re.sub(r"\([^)]*\)", "", listed).split(",")
    declared = [word.strip() for word in trade]
    declared += [*STAGE_KINDS, *CARE_KINDS, *INGREDIENT_KINDS, *ATTRIBUTES]
    lacking = [word for word in declared if word != "other" and not words_in(word)]
    assert len(declared) > 60
    assert lacking == []


def test_each_word_has_a_meaning_and_a_source_and_one_line():
    rows = glossary()
    assert len(rows) > 200
    assert len({row.term.lower() for row in rows}) == len(rows)
    for row in rows:
        assert row.meaning.rstrip().endswith((".", "?", ")")), row.term
        assert row.source, row.term


@pytest.mark.parametrize(
    ("typed", "first"),
    [("flocc", "flocculation"), ("MNFS", "composition"), ("clean break", "clean break"),
     ("gouda", "gouda type")],
)  # fmt: skip
def test_a_word_is_found_by_any_of_its_forms(typed, first):
    hit = search_help(typed)[0]
    assert hit.word is not None
    assert hit.word.term == first


def test_a_question_is_answered_by_the_part_about_it():
    found = search_help("Where are the backups?")
    assert "Backups" in {hit.page.parts[hit.part].title for hit in found if hit.page}
    assert search_help("xyzzy") == ()


def test_f1_opens_the_page_of_the_place_and_the_search_goes_by_keys(
    sample, window_on, qtbot, heard
):
    window = window_on(sample, clock=present.now, place="makes")
    for key in ("makes", "room", "today"):
        window.go(key)
        qtbot.waitUntil(window.settled, timeout=60_000)
        window.run("help")
        shown = window.findChild(HelpDialog)
        page = next(page for page in help_pages() if page.key == key)
        assert shown.windowTitle() == f"{page.title} · Help"
        text = shown.text.toPlainText()
        assert page.parts[0].paragraphs[0][:40] in text
        for command in window.current.commands():
            if command.keys:
                assert command.title.rstrip("…") in text
    assert len(window.findChildren(HelpDialog)) == 1
    qtbot.waitUntil(shown.line.hasFocus)
    QTest.keyClicks(shown.line, "whey")
    assert shown.text.toPlainText().startswith("whey\n")
    QTest.keyClick(shown.line, Qt.Key.Key_Down)
    assert not shown.text.toPlainText().startswith("whey\n")
    QTest.keyClick(shown.line, Qt.Key.Key_Return)
    assert shown.text.hasFocus()
    shown.line.setText("qqqq")
    assert shown.none.text() == "Nothing in the help matches “qqqq”."
    assert heard[-1][0] == "Nothing in the help matches “qqqq”."
    shown.show_word("curd")
    shown.show_word("rind")
    shown.go_back()
    assert shown.text.toPlainText().startswith("curd\n")
    QTest.keyClick(shown, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not window.findChildren(HelpDialog))
    window.help.show_here()
    assert window.findChild(HelpDialog).isVisible()


def test_without_a_journal_the_help_says_how_to_begin(window_on):
    window = window_on(None)
    QTest.keyClick(window, Qt.Key.Key_F1)
    assert window.findChild(HelpDialog).windowTitle() == "Begin here · Help"


def test_pages_are_there_for_every_place_and_say_what_is_so():
    keys = [page.key for page in help_pages()]
    assert {entry.key for entry in PLACES} < set(keys)
    for page in help_pages():
        assert page.parts, page.key
        assert all(part.paragraphs for part in page.parts), page.key


def test_alt_left_goes_back_through_the_places_with_their_make(sample, window_on, qtbot):
    window = window_on(sample, clock=present.now, place="today")
    rows = sample.makes.rows()
    window.go("makes", rows[0].id)
    window.go("makes", rows[2].id)
    window.go("findings")
    qtbot.waitUntil(window.settled, timeout=60_000)
    seen = []
    while window._trail.can_back():
        QTest.keyClick(window, Qt.Key.Key_Left, ALT)
        qtbot.waitUntil(window.settled, timeout=60_000)
        seen.append((window.current.key, window.desk.make_id))
    assert [key for key, _ in seen] == ["makes", "makes", "today"]
    assert [make for _, make in seen[:2]] == [rows[2].id, rows[0].id]
    QTest.keyClick(window, Qt.Key.Key_Left, ALT)
    assert window.current.key == "today"


def test_about_names_every_part_that_is_needed_with_its_licence():
    text = Path("pyproject.toml").read_text(encoding="utf-8")
    needed = re.findall(
        r'^    "([A-Za-z0-9-]+)', text.split("dependencies = [")[1].split("]")[0], re.M
    )
    output = {name.lower(): (version, licence) for name, version, licence in parts()}
    assert {"python", "sqlite"} < set(output)
    missing = {one.lower() for one in needed} - set(output)
    assert {one for one in missing if one not in ("importlib-metadata",)} == set()
    for name, (version, licence) in output.items():
        assert version, name
        assert licence, name


def test_the_finder_finds_what_the_journal_holds_and_goes_there(sample, window_on, qtbot):
    window = window_on(sample, clock=present.now, place="today")
    hands = Hands(window)
    lot = next(one for one in sample.ingredients.all() if one.lot)
    note = next(one for one in sample.notes.all() if one.make_id and len(one.text) > 20)
    session = sample.sessions.all()[0]
    for typed, place in ((lot.lot, "plans"), (note.text[:24], "makes"), ("tasting of", "tastings")):
        window.open_finder()
        hands.type(typed)
        finder = window._finder.finder
        rows = [row.words for row in finder.list.rows_model.rows]
        assert rows, typed
        if place == "tastings":
            assert len(rows) == len(sample.sessions.all()) > 10
        hands.press(Qt.Key.Key_Return)
        qtbot.waitUntil(window.settled, timeout=60_000)
        assert window.current.key == place
        if place == "plans":
            assert window.current.stock.made().section.current_row.lot == lot
        elif place == "makes":
            assert window.desk.make_id == note.make_id
    assert session.wheels
    window.open_finder()
    finder = window._finder.finder
    assert len(finder.list.rows_model.rows) > 100
    hands.type("clean break")
    hands.press(Qt.Key.Key_Return)
    assert window.findChild(HelpDialog).text.toPlainText().startswith("clean break")


def test_an_ingredient_that_no_lot_is_of_is_found_in_its_plan(journal, window_on, qtbot):
    from dataclasses import replace

    from journal.records.plans import Dose
    from tests.desk.conftest import cheddar_like

    plan, name = cheddar_like(), "annatto drops"
    first = replace(plan.stages[0], doses=(Dose("other", name, 0.1, "ml"),))
    journal.plans.save(replace(plan, stages=(first, *plan.stages[1:])))
    window = window_on(journal, clock=present.now, place="today")
    window.open_finder()
    Hands(window).type(name)
    found = [row.words for row in window._finder.finder.list.rows_model.rows]
    assert any(name in one and plan.name in one for one in found), found
    Hands(window).press(Qt.Key.Key_Return)
    qtbot.waitUntil(window.settled, timeout=60_000)
    assert window.current.sheet.plan.name == plan.name

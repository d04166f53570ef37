"""Typed, closed, opened: what is half typed is there again in every place that keeps such."""

from __future__ import annotations

import ast
import inspect
import json
import sys
from importlib import import_module
from pkgutil import walk_packages
from textwrap import dedent

import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtTest import QTest

from journal import desk
from journal.desk.place import Place
from journal.desk.places import PLACES
from journal.desk.tastings.half_typed import SETTING, UnsavedTexts
from journal.desk.window import Window
from journal.keeping import Journal
from journal.keeping.session_rows import SampleIdentity
from journal.records.panel_tests import PAIRED, TRIANGLE
from tests.desk.hands import Hands, key_for
from tests.desk.test_blind_session import (  # noqa: F401 - wheels is a fixture
    CTRL,
    KEEP,
    clock,
    enter,
    press,
    set_up,
    wheels,
)
from tests.desk.test_panel_tests_place import set_up as lay_test
from tests.desk.test_plan_writing import Writer

ENTER, ESC = Qt.Key.Key_Return, Qt.Key.Key_Escape


@pytest.fixture
def opened(wheels, window_on):  # noqa: F811
    """Opens a place in a window of its own, as after a start of the program."""

    def again(place: str, *key) -> Place:
        shown = window_on(wheels, clock=clock, place=place).current
        if key:
            press(shown, *key)
        return shown

    return again


def focus(place):
    return place.window().focusWidget()


# Plans


def written(place) -> Writer:
    """Somebody who writes in the plan “cheddar type”."""
    writer = Writer(place.window())
    place.show_plan("cheddar type")
    return writer


def test_a_plan_draft_stays_when_the_window_closes(opened):
    writer = written(opened("plans"))
    writer.at(5, 1)
    writer.types("38")
    writer.presses(ENTER)
    writer.window.close()
    again = written(opened("plans"))
    assert again.place.author.is_draft
    assert again.line(5).temp == "38.0"


def test_a_cell_half_typed_stays_when_the_window_closes(opened):
    writer = written(opened("plans"))
    writer.at(5, 2)
    writer.types("40 mi")
    writer.window.close()
    assert written(opened("plans")).line(5).minutes == "40 mi"


def test_a_plan_from_nothing_stays_when_another_journal_is_opened(opened, tmp_path, wheels):  # noqa: F811
    place = opened("plans")
    place.drafts.new_plan()
    Hands(place.window()).type("farm").press(ENTER)
    window = place.window()
    with Journal.create(tmp_path / "other.vatside") as other:
        window.take(other)
        window.take(wheels, place="plans")
        names = [row.name for row in window.current.page.list.rows_model.rows]
        assert "farm" in names
        window.close()


def test_a_draft_is_discarded_only_when_that_is_asked_for(opened):
    place = opened("plans")
    place.drafts.new_plan()
    Hands(place.window()).type("farm").press(ENTER)
    place.drafts.discard_draft()
    assert not place.author.is_draft
    place.window().close()
    again = opened("plans")
    assert "farm" not in [row.name for row in again.page.list.rows_model.rows]


# Blind sessions


def test_a_blind_score_half_typed_is_there_again(opened, wheels):  # noqa: F811
    place = opened("tastings", *key_for("part_2"))
    set_up(place)
    for text in ("7", "6.5"):
        enter(place, text)
    QTest.keyClicks(focus(place), "5")
    place.shown_part().sheet.note.setText("nutty")
    code = place.shown_part().sheet.code.text()
    place.window().close()
    assert wheels.scores.all() == []
    place = opened("tastings")
    assert "the blind session of 1 July 2026 (Alt+2)" in place.messages.text("begun")
    press(place, *key_for("part_2"))
    sheet = place.shown_part().sheet
    assert sheet.code.text() == code
    assert [row.text() for row in sheet.rows][:3] == ["7.0", "6.5", "5"]
    assert sheet.note.text() == "nutty"
    press(place, *KEEP)
    place.window().close()
    assert len(wheels.scores.all()) == 3
    assert not wheels.setting(SETTING)


def test_a_sheet_left_half_typed_is_gone_back_to(opened):
    """Not the first one that nothing was given for, but the one that was being typed."""
    place = opened("tastings", *key_for("part_2"))
    set_up(place)
    scoring = place.shown_part().scoring
    scoring.select(scoring._servings[3].id)
    scoring.sheet.to_first()
    enter(place, "7")
    place.window().close()
    part = opened("tastings", *key_for("part_2")).shown_part()
    assert part.scoring._here().id == scoring._servings[3].id
    assert part.sheet.rows[0].text() == "7.0"


def test_a_page_of_paper_half_typed_is_there_again(opened, wheels):  # noqa: F811
    place = opened("tastings", *key_for("part_2"))
    set_up(place)
    press(place, *key_for("from_paper"))
    place.shown_part().scoring.show_paper("Tam")
    for text in ("7", "6", "5.5"):
        enter(place, text)
    place.window().close()
    place = opened("tastings", *key_for("part_2"))
    press(place, *key_for("from_paper"))
    paper = place.shown_part().paper
    assert paper.title.text() == "What Tam wrote"
    assert [cell.text() for cell in paper.rows[0].cells[:4]] == ["7", "6", "5.5", ""]
    press(place, *KEEP)
    place.window().close()
    assert len(wheels.scores.all()) == 3
    assert not wheels.setting(SETTING)


def test_codes_half_read_from_under_the_cups_are_there_again(opened, wheels):  # noqa: F811
    place = opened("tastings", *key_for("part_2"))
    part = place.shown_part()
    part.form.codes.choose("shuffle")
    set_up(place, cheeses=("0001-a", "0002-b"), people=("Orla",))
    codes = [row.code for row in wheels.sessions.key(part.session.id)]
    for _ in range(2):
        enter(place, "7")
        press(place, *KEEP)
    press(place, *key_for("lift"))
    enter(place, codes[0])
    press(place, ESC)
    press(place, *key_for("lift"))
    assert [line.text() for line in part.cups.lines] == [codes[0], ""]
    place.window().close()
    place = opened("tastings", *key_for("part_2"))
    part = place.shown_part()
    press(place, *key_for("lift"))
    assert [line.text() for line in part.cups.lines] == [codes[0], ""]
    enter(place, codes[1])
    press(place, *KEEP)
    assert part.pages.currentWidget() is part.shown
    place.window().close()
    assert not wheels.setting(SETTING)


def test_a_board_half_laid_out_is_there_again(opened):
    place = opened("tastings", *key_for("part_2"))
    for text in ("0001-a", "Abbey"):
        enter(place, text)
    press(place, ENTER)
    enter(place, "Orla")
    QTest.keyClicks(focus(place), "Ta")
    place.window().close()
    place = opened("tastings")
    assert "the setup of a blind session (Alt+2)" in place.messages.text("begun")
    press(place, *key_for("part_2"))
    lay = place.shown_part().form
    assert [entry.words for entry in lay.board.entries()] == ["HL-0001-A", "Abbey"]
    assert [cheese.reference for cheese in lay.board.meant(SampleIdentity)] == ["", "Abbey"]
    assert lay.people.names() == ["Orla"]
    assert lay.people.line.text() == "Ta"


def test_a_board_that_an_older_program_left_is_read(opened, wheels):  # noqa: F811
    board = {
        "board": {"entries": [["Abbey", {"wheel_id": None, "reference": "Abbey"}]], "line": "00"},
        "people": {"entries": [["Orla", None]], "line": ""},
        "sheet": {"entries": [["overall", None]], "line": ""}, "codes": "shuffle", "day": "3 March",
    }  # fmt: skip
    wheels.set_setting(SETTING, json.dumps({"boards": {"sitting": board}}))
    lay = opened("tastings", *key_for("part_2")).shown_part().form
    assert lay.board.meant(SampleIdentity) == [SampleIdentity(None, "Abbey")]
    assert (lay.people.names(), lay.sheet.names()) == (["Orla"], ["overall"])
    assert (lay.codes.chosen(), lay.day.text(), lay.board.line.text()) == (
        "shuffle", "3 March", "00",
    )  # fmt: skip
    assert lay.half_typed() == board


# Panel tests


def test_an_answer_half_typed_is_there_again(opened, wheels):  # noqa: F811
    place = opened("tastings", *key_for("part_3"))
    part = place.shown_part()
    lay_test(place, part, TRIANGLE, ("0001-a", "0001-b"), ("Orla", "Tam"))
    code = part.set.codes.text().split()[0]
    part.select(1)
    QTest.keyClicks(focus(place), "12")
    place.window().close()
    place = opened("tastings")
    assert "the panel test of 1 July 2026 (Alt+3)" in place.messages.text("begun")
    press(place, *key_for("part_3"))
    part = place.shown_part()
    part.list.open_current()
    assert (part.set.line.text(), part._at) == ("12", 1)
    part.select(0)
    assert part.set.line.text() == ""
    enter(place, code)
    part.select(1)
    assert part.set.line.text() == "12"
    part.set.line.setText(part.set.codes.text().split()[0])
    press(place, ENTER)
    place.window().close()
    assert not wheels.setting(SETTING)


def test_a_change_elsewhere_leaves_an_answer_half_typed(opened, wheels):  # noqa: F811
    place = opened("tastings", *key_for("part_3"))
    lay_test(place, place.shown_part(), TRIANGLE, ("0001-a", "0001-b"), ("Orla",))
    QTest.keyClicks(focus(place), "12")
    orla = next(person for person in wheels.assessors.all() if person.name == "Orla")
    wheels.assessors.save(orla)
    assert place.shown_part().set.line.text() == "12"


def test_a_panel_test_half_laid_out_is_there_again(opened):
    place = opened("tastings", *key_for("part_3"))
    lay = place.shown_part().form
    lay.kind.choose(PAIRED)
    lay.cheeses.setFocus()
    enter(place, "0001-a")
    lay.asked_for.setText("bitter")
    place.window().close()
    lay = opened("tastings", *key_for("part_3")).shown_part().form
    assert (lay.kind.chosen(), lay.asked_for.text()) == (PAIRED, "bitter")
    assert [entry.words for entry in lay.cheeses.entries()] == ["HL-0001-A"]


@pytest.mark.parametrize(
    "text",
    [
        "no json", "[1]", '{"boards": {"sitting": {}, "test": {"cheeses": 3}}}',
        '{"boards": {"sitting": {"board": {"entries": [["x", {"y": 1}]], "line": ""}}}}',
    ],
)  # fmt: skip
def test_what_another_wrote_there_is_let_be(opened, wheels, text):  # noqa: F811
    wheels.set_setting(SETTING, text)
    place = opened("tastings", *key_for("part_2"))
    assert place.shown_part().form.board.entries() == []
    press(place, *key_for("part_3"))
    assert place.shown_part().form.cheeses.entries() == []


def test_nothing_half_typed_leaves_no_trace(journal):
    half = UnsavedTexts(journal)
    half.put("a", "1", "x")
    assert half.write() == ""
    assert json.loads(journal.setting(SETTING)) == {"a": {"1": "x"}}
    half.put("a", "1", None)
    assert half.write() == ""
    assert journal.setting(SETTING) == ""


# Names


# What Qt and pyqtgraph ask of a subclass; any other of their names must keep its meaning.
MEANT = {
    "boundingRect", "columnCount", "createHandle", "currentChanged", "data", "done", "drawPicture",
    "event", "eventFilter", "focusNextPrevChild", "headerData", "indexAt", "minimumSizeHint",
    "paint", "paintSection", "reject", "rowCount", "scrollContentsBy", "setText", "setVisible",
    "sizeHint", "sort", "text", "tickStrings", "tickValues",
}  # fmt: skip


def names_of(kind: type) -> set[str]:
    """What a class defines in its body, and what its methods put on `self`."""
    body = ast.parse(dedent(inspect.getsource(kind))).body[0]
    put = {
        node.attr
        for node in ast.walk(body)
        if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store)
        and isinstance(node.value, ast.Name) and node.value.id == "self"
    }  # fmt: skip
    return put | {name for name in vars(kind) if not name.startswith("__")} - {"staticMetaObject"}


def shadows(kind: type) -> list[str]:
    """Names by which a class, or one it comes from, hides what its Qt base calls so."""
    ours = [one for one in kind.__mro__ if one.__module__.startswith("journal.")]
    base = next(one for one in kind.__mro__ if one not in ours)
    return [
        f"{one.__name__}.{name} hides {base.__name__}.{name}"
        for one in ours
        for name in names_of(one)
        if hasattr(base, name) and name not in MEANT and not name.endswith("Event")
    ]


def place_classes() -> list[type]:
    return [getattr(import_module(entry.module), entry.name) for entry in PLACES]


@pytest.mark.parametrize("kind", [*place_classes(), Window], ids=lambda kind: kind.__name__)
def test_no_name_of_a_place_hides_one_of_its_base(kind):
    assert shadows(kind) == []


def test_no_name_of_a_widget_hides_one_of_its_base():
    """Of every widget and object of the desk, by the modules there are."""
    found = set()
    for module in walk_packages(desk.__path__, "journal.desk."):
        for kind in vars(import_module(module.name)).values():
            if isinstance(kind, type) and issubclass(kind, QObject):
                found.add(kind)
    ours = [kind for kind in found if kind.__module__.startswith("journal.")]
    assert len(ours) > 250
    assert [hidden for kind in ours for hidden in shadows(kind)] == []


class HidingPlace(Place):
    """One that hides what its base means by two names."""

    def __init__(self) -> None:
        self.width = 3

    def show(self) -> None: ...


def test_a_name_that_hides_one_of_its_base_is_seen(monkeypatch):
    monkeypatch.setattr(HidingPlace, "__module__", f"journal.{__name__}")
    monkeypatch.setitem(sys.modules, f"journal.{__name__}", sys.modules[__name__])
    hidden = {"HidingPlace.width hides QWidget.width", "HidingPlace.show hides QWidget.show"}
    assert set(shadows(HidingPlace)) == hidden


@pytest.mark.parametrize("kind", [*place_classes(), Window], ids=lambda kind: kind.__name__)
def test_a_place_is_built_of_parts_and_mixes_nothing_in(kind):
    ours = [one for one in kind.__mro__ if one.__module__.startswith("journal.")]
    assert [one.__name__ for one in ours if len(one.__bases__) > 1] == []


@pytest.mark.parametrize("entry", PLACES, ids=lambda entry: entry.key)
def test_no_command_is_called_what_the_frame_calls(entry, journal, window_on):
    """The frame calls `entered`, `save_state` and the like by itself; a command's act is no such.
    The frame does not know the controllers of a place: their acts are called as they like."""
    place = window_on(journal, place=entry.key).current
    taken = {name for one in Place.__mro__ for name in vars(one)}
    acts = [act for one in place.commands() for act in (one.run, one.enabled) if act]
    own = {act.__name__ for act in acts if getattr(act, "__self__", None) is place}
    assert own & taken == set()

"""A sheet half filled in is there again after the window, and no score is kept of it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from journal.desk.tastings.drafts import SETTING, Drafts, SheetDraft
from journal.keeping.session_rows import OpenServing
from tests.desk.test_tastings import (  # noqa: F401 - two_wheels is a fixture
    KEEP,
    PANEL,
    begin,
    clock,
    enter,
    press,
    saved,
    score,
    two_wheels,
    type_in,
)
from tests.present import NOW

WHOLE = SheetDraft({"overall": "7", "aroma": "6,"}, (("flavour", "bitter", "slight"),), "hazelnut",
              {"squeak": 3.5}, "a.jpg")  # fmt: skip


@pytest.fixture
def opened(two_wheels, window_on):  # noqa: F811
    """Opens the tastings in a window of their own, as after a start of the program."""

    def again():
        return window_on(two_wheels, clock=clock, place="tastings")

    return again


def test_a_half_written_sheet_is_there_again(opened, two_wheels):  # noqa: F811
    window = opened()
    begin(window.current, "0001-a", "Orla")
    score(window.current, (7.5,))
    type_in(window.current, "6")
    window.close()
    assert saved(two_wheels, "HL-0001-A") == {}
    window = opened()
    assert window.current.messages.text("begun") == (
        "Typed and not saved yet: HL-0001-A by orla, 1 July."
    )
    begin(window.current, "0001-a", "Orla")
    texts = window.current.open.sheet.draft().texts
    assert [texts[name] for name in texts if texts[name]] == ["7.5", "6"]
    press(window.current, *KEEP)
    assert list(saved(two_wheels, "HL-0001-A")["Orla"].values()) == [7.5, 6.0]
    assert two_wheels.setting(SETTING) == ""
    window.close()
    assert opened().current.messages.text("begun") == ""


def test_it_is_written_on_a_pause_before_anything_is_left(qtbot, opened, two_wheels):  # noqa: F811
    window = opened()
    begin(window.current, "0001-a", "Orla")
    score(window.current, (7.5,))
    qtbot.waitUntil(lambda: "7.5" in (two_wheels.setting(SETTING) or ""))


def test_what_was_kept_or_erased_does_not_come_back(opened, two_wheels):  # noqa: F811
    window = opened()
    begin(window.current, "0001-a", "Orla")
    score(window.current, PANEL["Orla"])
    press(window.current, *KEEP)
    enter(window.current, "Tam")
    type_in(window.current, "7")
    press(window.current, Qt.Key.Key_Backspace)
    window.close()
    assert not two_wheels.setting(SETTING)


def test_a_draft_reads_back_as_it_was(journal):
    drafts = Drafts(journal)
    drafts.put(OpenServing(1, "orla", NOW), WHOLE)
    assert drafts.write() == ""
    assert Drafts(journal).of(OpenServing(1, "orla", NOW)) == WHOLE


@pytest.mark.parametrize("text", ["no json", "[1]", '[[1, "orla", "one day", {}]]', "{}"])
def test_what_another_wrote_there_is_let_be(journal, text):
    journal.set_setting(SETTING, text)
    assert Drafts(journal).all() == []

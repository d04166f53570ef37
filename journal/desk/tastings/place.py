"""The place of tastings: a wheel scored openly, blind sittings, panel tests, and the panel."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.commands import Command
from journal.desk.tastings.open_scoring import OpenScoring
from journal.desk.tastings.part import Part
from journal.desk.tastings.sittingdays import same_day
from journal.desk.theme import STEP
from journal.keeping import Change

OPEN, BLIND, TESTS, PANEL = "open", "blind", "tests", "panel"
_WORDS = {
    OPEN: ("Score a wheel", "Ctrl S"),
    BLIND: ("Blind sitting", "Ctrl B"),
    TESTS: ("Panel tests", "Ctrl T"),
    PANEL: ("The panel", "Ctrl J"),
}


class TastingsPlace(OpenScoring):
    """Four parts, named in a row above the pages; the strip below has the sittings of all."""

    key = "tastings"
    title = "Tastings"
    left_share = 0.42
    left_least = 440

    # Build

    def right(self) -> QWidget:
        self.right_pages = QStackedWidget()
        self.right_pages.addWidget(super().right())
        return self.right_pages

    def left(self) -> QWidget:
        self.part = OPEN
        self._parts: dict[str, Part] = {}
        self.left_pages = QStackedWidget()
        self.left_pages.addWidget(super().left())
        self.names: dict[str, WordButton] = {}
        row = QHBoxLayout()
        row.setContentsMargins(8 * STEP, 4 * STEP, 8 * STEP, 0)
        row.setSpacing(6 * STEP)
        for key, (words, keys) in _WORDS.items():
            name = WordButton(words)
            name.setObjectName(key)
            name.setCheckable(True)
            name.setAutoExclusive(True)
            name.setToolTip(keys)
            name.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            name.clicked.connect(self._on_name)
            row.addWidget(name)
            self.names[key] = name
        self.names[OPEN].setChecked(True)
        row.addStretch(1)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(row)
        column.addWidget(self.left_pages, 1)
        return whole

    def commands(self) -> tuple[Command, ...]:
        return (
            Command(
                "keep_and_hand_on", "Keep and hand on", self.keep_and_hand_on,
                ("Ctrl+Return", "Ctrl+Enter"), self.can_keep,
            ),
            Command("choose_wheel", "Another one", self.another, ("Ctrl+L",), self.has_wheels),
            Command("score_open", "Score a wheel", self.go_open, ("Ctrl+S",), self.has_wheels),
            Command("sitting", "Lay out or go on with a blind sitting", self.go_blind, ("Ctrl+B",)),
            Command("panel_tests", "Panel tests", self.go_tests, ("Ctrl+T",)),
            Command("panel", "How good is the panel", self.go_panel, ("Ctrl+J",)),
            Command("lift", "Lift the cloth", self.lift_cloth, ("F9",), self.can_lift),
            Command("type_in", "Type in sheets of paper", self.type_in, ("Ctrl+R",),
                    self.can_type_in),
            Command("print_sheets", "Print sheets for assessors…", self.print_sheets, ("Ctrl+P",),
                    self.can_print),
            Command("join", "Someone joins the sitting", self.someone_joins, ("Ctrl+G",),
                    self.can_join),
            Command("own_attribute", "An attribute of your own", self.own_attribute, ("Ctrl+D",),
                    self.tasting),
            Command("key", "The helper's key", self.show_key, ("Ctrl+H",), self.has_key),
        )  # fmt: skip

    # The parts

    def show_part(self, key: str) -> None:
        """Show one of the parts."""
        if key == self.part:
            return
        if self.part == OPEN:
            self._hold()
        self.part = key
        self.names[key].setChecked(True)
        one = self.shown_part()
        self.left_pages.setCurrentWidget(self.left_of(key))
        self.right_pages.setCurrentWidget(self.right_of(key))
        if one is None:
            super().entered()
        else:
            one.entered()

    def left_of(self, key: str) -> QWidget:
        """The left page of a part."""
        return self.left_pages.widget(0) if key == OPEN else self._pages[key][0]

    def right_of(self, key: str) -> QWidget:
        """The right page of a part."""
        return self.right_pages.widget(0) if key == OPEN else self._pages[key][1]

    def shown_part(self) -> Part | None:
        """The part shown, built when it is first shown; None for the open sheet."""
        key = self.part
        if key != OPEN and key not in self._parts:
            if not self._parts:
                self._pages: dict[str, tuple[QWidget, QWidget]] = {}
            one = _build(key, self)
            self._parts[key] = one
            right, left = one.right(), one.left()
            one.typed.connect(self._rest.start)
            self._pages[key] = (left, right)
            self.left_pages.addWidget(left)
            self.right_pages.addWidget(right)
        return self._parts.get(key)

    # What the frame says

    def entered(self) -> None:
        one = self.shown_part()
        if one is None:
            super().entered()
            return
        self._refresh_line()
        one.entered()

    def let_go(self) -> None:
        for one in self._parts.values():
            one.hold()
        super().let_go()

    def heard(self, change: Change) -> None:
        super().heard(change)
        one = self.shown_part()
        if one is not None:
            one.heard(change)

    def show_make(self, make_id: int) -> None:
        self.show_part(OPEN)
        super().show_make(make_id)

    # Acts

    def can_keep(self) -> bool:
        """There is something to keep."""
        return self.part != OPEN or self.tasting()

    def keep_and_hand_on(self) -> None:
        """The main act of the part shown."""
        one = self.shown_part()
        if one is None:
            super().keep_and_hand_on()
        else:
            one.main()

    def another(self) -> None:
        """Another wheel, sitting or test."""
        one = self.shown_part()
        if one is None:
            self.choose_wheel()
        else:
            one.other()

    def go_open(self) -> None:
        """Score a wheel whose name is known."""
        self.show_part(OPEN)

    def go_blind(self) -> None:
        """Lay out a blind sitting, or go on with one."""
        self.show_part(BLIND)

    def go_tests(self) -> None:
        """The panel tests."""
        self.show_part(TESTS)

    def go_panel(self) -> None:
        """How good the panel is."""
        self.show_part(PANEL)

    def lift_cloth(self) -> None:
        """Lift the cloth of what is shown."""
        one = self.shown_part()
        if one is not None and one.can_lift():
            one.lift()

    def can_lift(self) -> bool:
        """There is a cloth to lift."""
        one = self.shown_part()
        return one is not None and one.can_lift()

    def someone_joins(self) -> None:
        """Ask who joins the sitting."""
        one = self.shown_part()
        if one is not None:
            one.join()

    def can_join(self) -> bool:
        """There is a sitting to join."""
        one = self.shown_part()
        return one is not None and one.can_join()

    def own_attribute(self) -> None:
        """Ask for an attribute the open sheet has no line for."""
        if self.part == OPEN and self.tasting():
            self.beside.own.setFocus()

    def type_in(self) -> None:
        """Type in sheets of paper."""
        one = self.shown_part()
        if one is not None and one.can_type_in():
            one.type_in()

    def can_type_in(self) -> bool:
        """There are sheets that could be typed in."""
        one = self.shown_part()
        return one is not None and one.can_type_in()

    def print_sheets(self) -> None:
        """Print sheets for assessors without a screen."""
        one = self.shown_part()
        if one is not None and one.can_print():
            one.print_out()

    def can_print(self) -> bool:
        """There are sheets to print."""
        one = self.shown_part()
        return one is not None and one.can_print()

    def show_key(self) -> None:
        """Show the helper what each code is, or put it away."""
        one = self.shown_part()
        if one is not None and one.has_key():
            one.show_key()

    def has_key(self) -> bool:
        """There is something for a helper to know."""
        one = self.shown_part()
        return one is not None and one.has_key()

    # Handlers

    def _on_name(self) -> None:
        self.show_part(self.sender().objectName())

    def _on_sitting(self, at_ms: int) -> None:
        lifted = [
            t for t in self.journal.blind.lifted() if same_day(t.at_ms, at_ms, self.journal.zone)
        ]
        if lifted and (self.part != OPEN or not self.journal.sittings.on_day(at_ms)):
            self.show_part(BLIND)
            self._parts[BLIND].show_lifted(lifted[-1].id)
            return
        self.show_part(OPEN)
        super()._on_sitting(at_ms)


def _build(key: str, place: TastingsPlace) -> Part:
    """The part of that key; its modules are loaded now."""
    if key == BLIND:
        from journal.desk.tastings.blind.part import BlindPart

        return BlindPart(place)
    if key == TESTS:
        from journal.desk.tastings.panel_tests.part import TestsPart

        return TestsPart(place)
    from journal.desk.tastings.panel.part import PanelPart

    return PanelPart(place)

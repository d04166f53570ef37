"""The menus along the top: read in light and dark, also when that changes; one menu for makes; the
menu of a picture under the pointer."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QWidget

from journal.desk.charts.chart import Chart
from journal.desk.compare.ribbons import RibbonsView
from journal.desk.looks import LookController
from tests import present
from tests.desk.test_theme import contrast


def drawn_contrast(widget: QWidget, part: QRect) -> float:
    """How far the drawn pixel that stands out most is from the ground, by WCAG."""
    picture = widget.grab(part).toImage()
    pixels = Counter(
        picture.pixel(x, y) for x in range(picture.width()) for y in range(picture.height())
    )
    ground = QColor.fromRgb(pixels.most_common(1)[0][0])
    return max(contrast(QColor.fromRgb(pixel), ground) for pixel in pixels)


def contrasts(window) -> dict[str, float]:
    """Of each title along the top, and of the lines of File."""
    bar = window.menus
    found = {}
    for title in bar.actions():
        where = bar.actionGeometry(title)
        corner = bar.mapTo(window, QPoint(0, 0))
        found[title.text()] = drawn_contrast(window, where.translated(corner))
    menu = bar.menu_named("File")
    menu.aboutToShow.emit()
    menu.resize(menu.sizeHint())
    for line in menu.actions():
        if not line.isSeparator() and line.isEnabled():
            found[line.text()] = drawn_contrast(menu, menu.actionGeometry(line))
    return found


@pytest.fixture
def looks(qapp: QApplication):
    look = qapp.property("vatside-look")
    yield look
    look.set_mode("light")


@pytest.mark.parametrize("ways", [("light", "dark", "light"), ("dark", "light", "dark")])
def test_titles_and_lines_are_read_after_a_live_switch(journal, window_on, looks, ways):
    looks.set_mode(ways[0])
    window = window_on(journal, clock=present.now, look=looks)
    window.resize(1440, 900)
    switch: LookController = window.looks
    for mode in ways:
        for command in switch.commands():
            if command.name == f"look_{mode}":
                command.run()
        QApplication.processEvents()
        assert looks.dark() == (mode == "dark")
        found = contrasts(window)
        assert len(found) > 10
        assert all(value >= 4.5 for value in found.values()), (mode, found)


def titles(window) -> list[str]:
    return [one.text().replace("&", "") for one in window.menus.actions()]


def test_in_makes_its_commands_stand_within_make(sample, window_on, qtbot):
    window = window_on(sample, clock=present.now, place="makes")
    qtbot.waitUntil(window.settled, timeout=30_000)
    assert titles(window) == ["File", "Edit", "Make", "View", "Help"]
    menu = window.menus.menu_named("Make")
    menu.aboutToShow.emit()
    lines = menu.actions()
    names = [line.objectName() for line in lines]
    assert {"to_vat", "go_on", "tags", "delete"} <= set(names)
    assert "print_record" not in names  # it is looked for in File
    file = window.menus.menu_named("File")
    file.aboutToShow.emit()
    assert [line.objectName() for line in file.actions() if line.objectName()][-2] == "print_record"
    assert any(line.isSeparator() for line in lines[names.index("to_vat") : names.index("go_on")])
    window.go("plans")
    assert titles(window) == ["File", "Edit", "Make", "Plans", "View", "Help"]
    window.go("vat")
    assert titles(window) == ["File", "Edit", "Make", "View", "Help"]


def right_click(window, picture: QAbstractScrollArea) -> list[str]:
    """The lines of the menu that opens where the picture is seen; it is closed again."""
    seen = picture.viewport().visibleRegion().boundingRect().center()
    spot = picture.mapTo(window, seen)
    QTest.mouseClick(window.windowHandle(), Qt.MouseButton.RightButton, pos=spot)
    menu = QApplication.activePopupWidget()
    assert menu is not None, picture.accessibleName()
    lines = [line.objectName() or line.text() for line in menu.actions()]
    menu.close()
    return lines


def pictures_seen(window) -> list[Chart | RibbonsView]:
    """The pictures of the place that are in sight."""
    place = window.current
    pictures = (*place.findChildren(Chart), *place.findChildren(RibbonsView))
    return [one for one in pictures if not one.viewport().visibleRegion().isEmpty()]


def test_a_right_click_on_a_picture_offers_its_acts_and_saving_it(sample, window_on, qtbot):
    window = window_on(sample, place="vat")
    window.resize(1440, 900)
    own = {}
    for key in ("vat", "makes", "compare", "room", "findings", "plans"):
        window.go(key)
        qtbot.waitUntil(lambda: window.settled() and bool(pictures_seen(window)), timeout=20_000)
        for picture in pictures_seen(window):
            lines = right_click(window, picture)
            what = "picture" if isinstance(picture, RibbonsView) else "chart"
            saving = [f"Save the {what} as {kind}…" for kind in ("PNG", "SVG", "PDF")]
            assert lines[-4:] == [f"Copy the {what}", *saving]
            own[key] = lines[:-4]
    assert {"late", "kind", "strike", "correct"} <= set(own["vat"])

"""Across the room, read from a picture scaled to a tenth: what an eye three metres off gets.

A tenth of a screen 1440 px wide is 144 px. A window 31 cm wide seen from three metres spans about
6°, and an eye with 6/12 sight resolves 2 minutes of arc (ISO 8596: the reciprocal of its acuity in
minutes), so 180 steps: a tenth is coarser than what such an eye sees.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QWidget

from journal.curves.snapshot import Ahead, EarlierMakes, day_of
from journal.desk.theme import font, use_text_size
from journal.desk.vat.across import _STANDS, AcrossTheRoom
from journal.records.instants import MINUTE_MS

FULL, TENTH = QSize(1440, 900), QSize(144, 90)
GRID = (12, 8)
CLOCK, VALUES = (0.14, 0.57), (0.7, 0.88)


def ink_of(image: QImage) -> np.ndarray:
    """How much ink each pixel holds, 0 to 1, whichever side the page is shown in."""
    gray = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(gray.constBits(), np.uint8).reshape(gray.height(), gray.bytesPerLine())
    dark = np.abs(rows[:, : gray.width()].astype(float) - float(rows[0, 0]))
    return dark / dark.max()


def a_tenth(image: QImage) -> QImage:
    return image.scaled(
        TENTH, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
    )


def pieces(ink: np.ndarray) -> list[np.ndarray]:
    """The glyphs of a line from left to right: stretches of columns with ink."""
    there = ink.max(axis=0) > 0.28
    edges = np.flatnonzero(np.diff(np.concatenate([[False], there, [False]]).astype(int)))
    return [ink[:, a:b] for a, b in zip(edges[::2], edges[1::2], strict=True)]


def shape(piece: np.ndarray) -> np.ndarray:
    """A glyph on a small grid of its own height and width."""
    rows = np.flatnonzero(piece.max(axis=1) > 0.28)
    piece = piece[rows[0] : rows[-1] + 1]
    y = np.linspace(0, piece.shape[0] - 1, GRID[0])
    x = np.linspace(0, piece.shape[1] - 1, GRID[1])
    low_y, low_x = np.floor(y).astype(int), np.floor(x).astype(int)
    high_y = np.minimum(low_y + 1, piece.shape[0] - 1)
    high_x = np.minimum(low_x + 1, piece.shape[1] - 1)
    part_y, part_x = (y - low_y)[:, None], (x - low_x)[None, :]
    top = piece[low_y][:, low_x] * (1 - part_x) + piece[low_y][:, high_x] * part_x
    foot = piece[high_y][:, low_x] * (1 - part_x) + piece[high_y][:, high_x] * part_x
    return top * (1 - part_y) + foot * part_y


@pytest.fixture(scope="module")
def digits(qapp) -> dict[str, np.ndarray]:
    """Each digit by itself, drawn large and brought to a tenth too."""
    found = {}
    for digit in "0123456789":
        image = QImage(FULL, QImage.Format.Format_RGB32)
        image.fill(QColor("white"))
        painter = QPainter(image)
        painter.setFont(font(300))
        painter.drawText(QRectF(image.rect()), Qt.AlignmentFlag.AlignCenter, digit)
        painter.end()
        found[digit] = shape(pieces(ink_of(a_tenth(image)))[0])
    return found


def read(ink: np.ndarray, digits: dict[str, np.ndarray]) -> str:
    """The digits of a line, each by the nearest of the ten; marks lower than digits are passed."""
    tall = max(np.ptp(np.flatnonzero(p.max(axis=1) > 0.28)) for p in pieces(ink))
    output = ""
    for piece in pieces(ink):
        rows = np.flatnonzero(piece.max(axis=1) > 0.28)
        if np.ptp(rows) < 0.8 * tall:
            continue
        away = {d: float(np.sqrt(((shape(piece) - s) ** 2).mean())) for d, s in digits.items()}
        output += min(away, key=away.get)
    return output


@pytest.fixture
def across_page(qtbot, kitchen):
    """The page across the room on a make in its cook."""
    kitchen.to_stage(4)
    window = QWidget()
    qtbot.addWidget(window)
    window.resize(FULL)
    page = AcrossTheRoom(window, window)
    page.resize(FULL)
    return page


@pytest.fixture
def across(across_page, kitchen):
    """The same at any instant, due or not."""
    page = across_page

    def drawn(left_ms: int, celsius: float, due: str = "", ask: str = "") -> np.ndarray:
        at_ms = kitchen.after(152) - left_ms
        kitchen.journal.readings.log(kitchen.make.id, "milk-temp", celsius, at_ms)
        day = day_of(kitchen.journal.whole(kitchen.make.id), at_ms, EarlierMakes(), Ahead())
        page.show_day(replace(day), due, ask)
        image = QImage(FULL, QImage.Format.Format_RGB32)
        page.render(image)
        return ink_of(a_tenth(image))

    return drawn


def band(ink: np.ndarray, part: tuple[float, float]) -> np.ndarray:
    low, high = (round(share * ink.shape[0]) for share in part)
    return ink[low:high]


def words_of(left_ms: int) -> str:
    minutes, rest = divmod(left_ms, MINUTE_MS)
    return f"{minutes}{rest // 1000:02d}"


@pytest.mark.parametrize("due", ["", "the cook is over"])
@pytest.mark.parametrize("left_s", [1365, 1478, 2090, 754, 39 * 60 + 48, 26 * 60 + 17, 59])
def test_the_clock_is_read_from_a_tenth(across, digits, left_s, due):
    ink = across(left_s * 1000, 34.3, due)
    rows = band(ink, CLOCK)
    clock = rows[: round(0.86 * rows.shape[0])]  # without the words under it
    assert read(clock, digits) == words_of(left_s * 1000)


def test_a_larger_text_size_leaves_the_figures_as_large_as_the_page_lets_them_be(across):
    usual = across(754_000, 36.8)
    use_text_size(200)
    try:
        large = across(754_000, 36.8)
    finally:
        use_text_size(100)
    np.testing.assert_allclose(band(large, (0.0, 0.9)), band(usual, (0.0, 0.9)), atol=0.02)


@pytest.mark.parametrize("size", [(900, 700), (960, 1040), (1280, 720), (1440, 900), (2560, 1440)])
def test_no_line_reaches_under_the_buttons(across_page, size):
    across_page.resize(*size)
    across_page._place_buttons()
    assert across_page._high() * sum(_STANDS) <= across_page.back.geometry().top()


def test_what_the_hand_is_asked_leaves_clock_and_value_legible(across, digits):
    """It stands in place of the step, across the page."""
    plain, asked = across(754_000, 36.8), across(754_000, 36.8, "now", "Turn the heat down")
    rows = band(asked, CLOCK)
    assert read(rows[: round(0.86 * rows.shape[0])], digits) == words_of(754_000)
    assert read(band(asked, VALUES)[:, :72], digits)[:3] == "368"
    step = (0.02, 0.16)
    wide = [np.ptp(np.flatnonzero(band(ink, step).max(axis=0) > 0.28)) for ink in (plain, asked)]
    assert wide[1] > 2 * wide[0]
    high = np.ptp(np.flatnonzero(band(asked, step).max(axis=1) > 0.28))
    assert high >= 7  # px of the tenth, of a letter with its height above and below


@pytest.mark.parametrize("celsius", [34.3, 31.0, 28.9, 35.6, 27.4])
def test_the_temperature_is_read_from_a_tenth(across, digits, celsius):
    ink = band(across(600_000, celsius), VALUES)[:, :72]
    assert read(ink, digits)[:3] == f"{celsius:.1f}".replace(".", "")


def test_no_two_digits_look_alike_at_a_tenth(digits):
    apart = {
        (a, b): float(np.sqrt(((digits[a] - digits[b]) ** 2).mean()))
        for a in digits
        for b in digits
        if a < b
    }
    assert min(apart.values()) > 0.12, min(apart, key=apart.get)

"""The colours can be read, and told apart by every eye.

Contrast: WCAG 2.x, relative luminance and contrast ratio (4.5:1 for text, 3:1 for graphics).
Colour vision: Machado, Oliveira and Fernandes 2009, matrices of full severity in linear RGB
(figures from memory; each row sums to 1, which is checked). Distances in CIELAB under D65.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from journal.desk.theme import HIGH, TABLE, Look, colours, colours_of, font, palette, turned

SIDES = [
    pytest.param((False, False), id="light"), pytest.param((True, False), id="dark"),
    pytest.param((False, True), id="high light"), pytest.param((True, True), id="high dark"),
]  # fmt: skip
TEXTS = ("ink", "quiet", "planned", "temperature", "acidity", "attention")
GROUNDS = ("paper", "field", "chosen")
MARKS = ("ink", "done", "planned", "temperature", "acidity", "attention", "past_line")
TOLD_APART = ("ink", "planned", "temperature", "acidity", "attention")
EYES = {
    "usual": np.eye(3),
    "protan": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                        [-0.003882, -0.048116, 1.051998]]),
    "deutan": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                        [-0.011820, 0.042940, 0.968881]]),
    "tritan": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                        [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip
JUST_APART = 10.0  # CIELAB units; about 2.3 are just noticeable side by side
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def linear(colour: QColor) -> np.ndarray:
    part = np.array(colour.getRgbF()[:3])
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def contrast(one: QColor, other: QColor) -> float:
    light = sorted(float(TO_XYZ[1] @ linear(c)) for c in (one, other))
    return (light[1] + 0.05) / (light[0] + 0.05)


def lab(rgb: np.ndarray) -> np.ndarray:
    x, y, z = TO_XYZ @ np.clip(rgb, 0, 1) / np.array([0.9505, 1.0, 1.089])
    fx, fy, fz = (t ** (1 / 3) if t > 0.008856 else 7.787 * t + 16 / 116 for t in (x, y, z))
    return np.array([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)])


def test_contrast_of_black_on_white_is_21():
    assert contrast(QColor("white"), QColor("black")) == pytest.approx(21.0)


@pytest.mark.parametrize("state", SIDES)
@pytest.mark.parametrize("role", TEXTS)
@pytest.mark.parametrize("ground", GROUNDS)
def test_text_can_be_read(state, role, ground):
    side = colours(*state)
    least = 7.0 if state[1] and ground != "chosen" else 4.5  # WCAG 1.4.6 and 1.4.3
    assert contrast(getattr(side, role), getattr(side, ground)) >= least


@pytest.mark.parametrize("state", SIDES)
@pytest.mark.parametrize("ground", ["ink", "done"])
def test_words_on_filled_stages_can_be_read(state, ground):
    side = colours(*state)
    assert contrast(side.paper, getattr(side, ground)) >= 4.5


@pytest.mark.parametrize("state", SIDES)
@pytest.mark.parametrize("role", MARKS)
def test_marks_stand_out_from_the_page(state, role):
    side = colours(*state)
    assert contrast(getattr(side, role), side.paper) >= 3.0


@pytest.mark.parametrize("state", SIDES)
@pytest.mark.parametrize("ground", GROUNDS[:2])
@pytest.mark.parametrize("role", ["frame", "ink"])  # at rest, and with the focus
def test_frames_of_fields_and_the_focus_stand_out(state, ground, role):
    """WCAG 2.1, success criterion 1.4.11: 3:1 against what lies beside it."""
    side = colours(*state)
    assert contrast(getattr(side, role), getattr(side, ground)) >= 3.0


@pytest.mark.parametrize("state", SIDES)
def test_readings_stand_out_from_the_forecast_wash(state):
    side = colours(*state)
    assert contrast(side.acidity, side.wash("forecast", 0.28)) >= 3.0


@pytest.mark.parametrize("eye", EYES)
def test_the_eye_matrices_keep_white_white(eye):
    assert EYES[eye].sum(axis=1) == pytest.approx(np.ones(3), abs=5e-6)


@pytest.mark.parametrize("state", SIDES)
@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("pair", list(combinations(TOLD_APART, 2)), ids="-".join)
def test_meanings_are_told_apart(state, eye, pair):
    side = colours(*state)
    one, other = (lab(EYES[eye] @ linear(getattr(side, role))) for role in pair)
    assert float(np.linalg.norm(one - other)) >= JUST_APART


@pytest.mark.parametrize("state", SIDES)
@pytest.mark.parametrize("eye", EYES)
def test_washes_that_stand_beside_each_other_are_told_apart(state, eye):
    """A day of the air that is outside beside the palest and deepest inside; the band of past makes
    beside the forecast, each on the paper."""
    side = colours(*state)

    def seen(role: str, share: float) -> np.ndarray:
        return lab(EYES[eye] @ linear(side.wash(role, share)))

    outside = seen("attention", 0.62)
    for role in ("acidity", "temperature"):
        for share in (0.16, 0.46):
            assert float(np.linalg.norm(outside - seen(role, share))) >= JUST_APART
    assert float(np.linalg.norm(seen("past", 0.6) - seen("forecast", 0.28))) >= 2.3


def test_every_role_has_both_sides_and_a_meaning():
    assert all(QColor(a).isValid() and QColor(b).isValid() and m for a, b, m in TABLE.values())
    assert HIGH.keys() == TABLE.keys()
    assert all(QColor(a).isValid() and QColor(b).isValid() for a, b in HIGH.values())


def test_a_widget_takes_the_side_of_its_palette(qtbot):
    widget = QWidget()
    qtbot.addWidget(widget)
    widget.setPalette(palette(dark=True))
    assert colours_of(widget).paper == colours(dark=True).paper
    widget.setPalette(palette(dark=False))
    assert colours_of(widget).paper == colours(dark=False).paper
    widget.setPalette(palette(dark=True, high=True))
    assert colours_of(widget) == colours(dark=True, high=True)
    assert turned(widget.palette()).window().color() == QColor("white")


def test_the_look_can_be_forced(qapp):
    look = qapp.property("vatside-look")
    assert isinstance(look, Look)
    look.set_mode("dark")
    assert look.dark()
    assert qapp.palette().window().color() == colours(dark=True).paper
    look.set_mode("light")
    assert not look.dark()
    look.set_mode("contrast-dark")
    assert look.dark()
    assert qapp.palette().window().color() == QColor("black")
    look.set_mode("no such mode")
    assert look.mode == "system"
    look.set_mode("light")


def test_figures_are_tabular(qapp):
    from PySide6.QtGui import QFont

    assert font().featureValue(QFont.Tag("tnum")) == 1


def test_high_contrast_follows_the_system_in_light_and_in_dark(qapp, monkeypatch):
    """What the system asks for is Qt's to read; here it is said in its place."""

    class Hints:
        def contrastPreference(self):
            return Qt.ContrastPreference.HighContrast

    look = qapp.property("vatside-look")
    monkeypatch.setattr(look, "_needs", Hints())
    for mode, page in (("light", "white"), ("dark", "black")):
        look.set_mode(mode)
        assert qapp.palette().window().color() == QColor(page)
    monkeypatch.undo()
    look.set_mode("light")
    assert qapp.palette().window().color() == colours(dark=False).paper


def test_a_change_of_the_systems_contrast_is_heard(qapp):
    look = qapp.property("vatside-look")
    look.set_mode("light")
    qapp.setPalette(palette(dark=True))
    look._needs.contrastPreferenceChanged.emit(Qt.ContrastPreference.NoPreference)
    assert qapp.palette().window().color() == colours(dark=False).paper

"""The one table of colours and sizes: light and dark side by side, type, spacing, radius."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication, QWidget

STEP = 4  # one spacing step, px
RADIUS = 3  # one corner radius, px
SMALL, TEXT, LEAD, TITLE, HUGE = 14, 16, 18, 28, 72  # the type scale, device independent px
MODES = ("system", "light", "dark", "contrast-light", "contrast-dark")

# role: (light, dark, what it means). Slate, teal and plum are as light or dark as it takes to tell
# them apart with any of the three common colour-vision deficiencies (tests/desk/test_theme.py).
TABLE: dict[str, tuple[str, str, str]] = {
    "paper": ("#FAF7F1", "#1D1A17", "the page"),
    "ink": ("#2B2723", "#EEE8DC", "text; what is current or chosen"),
    "quiet": ("#6D6559", "#A89F91", "text that stands back"),
    "hairline": ("#DCD5C8", "#3B362F", "rules and frames at rest"),
    "frame": ("#8A8276", "#867D70", "frames of what can be filled in or pressed"),
    "field": ("#FFFFFF", "#292520", "where something can be typed"),
    "chosen": ("#EFE9DD", "#2E2923", "the current row"),
    "done": ("#66615A", "#928A7E", "a stage that is over"),
    "planned": ("#596674", "#8395AC", "planned, always dashed"),
    "temperature": ("#B0441F", "#E8835B", "temperature"),
    "acidity": ("#0F4E51", "#6ABCB2", "acidity"),
    "forecast": ("#0F4E51", "#6ABCB2", "forecast, as a wash"),
    "past": ("#CFC7BA", "#5B5449", "past makes, as a band"),
    "past_line": ("#8F8779", "#867D70", "past makes, as lines"),
    "curd": ("#F8EFD6", "#5E5440", "a young wheel"),
    "rind": ("#B98B3E", "#B08A48", "an old wheel, and the edge of each"),
    "attention": ("#80357B", "#D997D4", "needs attention, always with a triangle"),
}

# The same in high contrast: black and white, all text at 7:1.
HIGH: dict[str, tuple[str, str]] = {
    "paper": ("#FFFFFF", "#000000"),
    "ink": ("#000000", "#FFFFFF"),
    "quiet": ("#3D3D3D", "#D6D6D6"),
    "hairline": ("#767676", "#8C8C8C"),
    "frame": ("#000000", "#FFFFFF"),
    "field": ("#FFFFFF", "#000000"),
    "chosen": ("#EBEBEB", "#262626"),
    "done": ("#474747", "#C9C9C9"),
    "planned": ("#34587F", "#7FA8DE"),
    "temperature": ("#8F2300", "#FF9660"),
    "acidity": ("#004045", "#4FD6C4"),
    "forecast": ("#004045", "#4FD6C4"),
    "past": ("#BDBDBD", "#6E6E6E"),
    "past_line": ("#595959", "#B5B5B5"),
    "curd": ("#FFF3C4", "#5E5440"),
    "rind": ("#7A5200", "#E0A640"),
    "attention": ("#5A0053", "#FFC4FA"),
}


@dataclass(frozen=True)
class Colours:
    """One side of the table, by role."""

    paper: QColor
    ink: QColor
    quiet: QColor
    hairline: QColor
    frame: QColor
    field: QColor
    chosen: QColor
    done: QColor
    planned: QColor
    temperature: QColor
    acidity: QColor
    forecast: QColor
    past: QColor
    past_line: QColor
    curd: QColor
    rind: QColor
    attention: QColor

    def wash(self, role: str, share: float) -> QColor:
        """The role's colour mixed into the paper: `share` of it, opaque, so it draws fast."""
        return self.mixed("paper", role, share)

    def mixed(self, one: str, other: str, share: float) -> QColor:
        """So far on the way from one role's colour to another's."""
        ends = _rgb(getattr(self, one)), _rgb(getattr(self, other))
        return QColor(*(round(a * (1 - share) + b * share) for a, b in zip(*ends, strict=True)))


def _rgb(colour: QColor) -> tuple[int, int, int]:
    return colour.red(), colour.green(), colour.blue()


@cache
def colours(dark: bool, high: bool = False) -> Colours:
    """The light or the dark side of the table, in `high` contrast of that one's."""
    side, table = 1 if dark else 0, HIGH if high else TABLE
    return Colours(**{f.name: QColor(table[f.name][side]) for f in fields(Colours)})


def colours_of(widget: QWidget) -> Colours:
    """The side a widget is shown in, read from its palette."""
    return colours(is_dark(widget.palette()), is_high(widget.palette()))


def turned(shown: QPalette) -> QPalette:
    """The palette of the other side, light for dark, as high in contrast."""
    return palette(not is_dark(shown), is_high(shown))


def is_dark(palette: QPalette) -> bool:
    """True when the palette's page is darker than its text."""
    return palette.window().color().lightness() < palette.windowText().color().lightness()


def is_high(palette: QPalette) -> bool:
    """True when the palette's page is that of high contrast."""
    return palette.window().color().name().upper() in HIGH["paper"]


def palette(dark: bool, high: bool = False) -> QPalette:
    """Fusion's palette in the table's colours.

    Roles with a meaning of our own: PlaceholderText quiet, Mid hairline, Link planned,
    LinkVisited attention, AlternateBase and Highlight the current row.
    """
    c = colours(dark, high)
    out = QPalette(c.ink, c.paper, c.field, c.hairline, c.hairline, c.ink, c.field)
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, c.paper),
        (role.WindowText, c.ink),
        (role.Base, c.field),
        (role.AlternateBase, c.chosen),
        (role.Text, c.ink),
        (role.PlaceholderText, c.quiet),
        (role.Button, c.paper),
        (role.ButtonText, c.ink),
        (role.BrightText, c.attention),
        (role.Highlight, c.chosen),
        (role.HighlightedText, c.ink),
        (role.ToolTipBase, c.field),
        (role.ToolTipText, c.ink),
        (role.Link, c.planned),
        (role.LinkVisited, c.attention),
        (role.Light, c.paper),
        (role.Midlight, c.hairline),
        (role.Mid, c.hairline),
        (role.Dark, c.hairline),
        (role.Shadow, c.hairline),
        (role.Accent, c.ink),
    ):
        out.setColor(which, colour)
    for which in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        out.setColor(QPalette.ColorGroup.Disabled, which, c.quiet)
    return out


class _Text:
    percent = 100  # of the usual size


def use_text_size(percent: int) -> None:
    """Write everything that is built from now on so large."""
    _Text.percent = percent
    app = QApplication.instance()
    if isinstance(app, QApplication):
        app.setFont(font())


def text_size() -> int:
    """How large everything is written, percent of the usual."""
    return _Text.percent


def scaled(px: float) -> int:
    """A length that goes with the size of the text, px."""
    return round(px * _Text.percent / 100)


def font(size: int = TEXT, *, bold: bool = False) -> QFont:
    """The application's face at a size of the scale, in the size of text that was chosen, with
    tabular figures."""
    face = QFont(QApplication.font())
    face.setPixelSize(round(size * _Text.percent / 100))
    face.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    face.setFeature(QFont.Tag("tnum"), 1)
    return face


class Look(QObject):
    """Keeps the application in the system's light or dark, or in the one asked for."""

    def __init__(self, app: QApplication, mode: str = "system") -> None:
        super().__init__(app)
        self._app = app
        self.mode = mode
        app.setStyle("Fusion")
        app.setFont(font())
        self._hints = app.styleHints()  # held, or what it hands out goes with it
        self._needs = self._hints.accessibility()
        self._hints.colorSchemeChanged.connect(self._on_system)
        self._needs.contrastPreferenceChanged.connect(self._on_system)
        self.set_mode(mode)

    def set_mode(self, mode: str) -> None:
        """Follow the system ("system") or stay light or dark, or in high contrast of either. High
        contrast that the system asks for holds in each of them."""
        if mode not in MODES:
            mode = "system"
        self.mode = mode
        self._app.setPalette(palette(self.dark(), self.high()))

    def dark(self) -> bool:
        """True when the dark side is shown."""
        if self.mode != "system":
            return self.mode in ("dark", "contrast-dark")
        return self._hints.colorScheme() == Qt.ColorScheme.Dark

    def high(self) -> bool:
        """True when high contrast is chosen here, or asked for by the system."""
        asked = self._needs.contrastPreference()
        return self.mode.startswith("contrast") or asked == Qt.ContrastPreference.HighContrast

    def _on_system(self, _hint: object) -> None:
        self.set_mode(self.mode)

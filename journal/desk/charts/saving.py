"""A picture on a sheet of its own: its title, what is seen, the picture, its units and source."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPoint, QRect, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QAction, QGuiApplication, QPageSize, QPainter, QPdfWriter, QPixmap
from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.commands import Command
from journal.desk.menus import Menu
from journal.desk.messages import report
from journal.desk.theme import LEAD, SMALL, STEP, Colours, font
from journal.records.instants import now_ms, system_zone
from journal.wording import worded
from journal.wording.dates import day_words
from journal.wording.ties import tied

_HEAD, _FOOT, _SIDE = 18 * STEP, 9 * STEP, 6 * STEP
_POINTS_A_PX = 0.75
PNG, SVG, PDF = ".png", ".svg", ".pdf"


@dataclass(frozen=True)
class PictureSheet:
    """What is saved: `paint` draws the picture of that size into a box; `source` says what it shows
    in which units, and where it is from."""

    title: str
    sentence: str
    source: str
    size: QSize
    paint: Callable[[QPainter, QRectF], None]
    colours: Colours

    @property
    def whole(self) -> QSize:
        """The size with what stands around the picture."""
        return QSize(self.size.width(), self.size.height() + _HEAD + _FOOT)

    def draw(self, painter: QPainter) -> None:
        """Draw the sheet, its upper left corner at zero."""
        wide, high = self.whole.width(), self.whole.height()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, wide, high), self.colours.paper)
        painter.setPen(self.colours.ink)
        painter.setFont(font(LEAD, bold=True))
        box = QRectF(_SIDE, 2 * STEP, wide - 2 * _SIDE, 6 * STEP)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self.title)
        painter.setPen(self.colours.quiet)
        painter.setFont(font(SMALL))
        room = wide - 2 * _SIDE
        box = QRectF(_SIDE, 8 * STEP, room, 9 * STEP)
        painter.drawText(box, Qt.TextFlag.TextWordWrap, tied(self.sentence))
        foot = QRectF(_SIDE, high - _FOOT, room, _FOOT)
        painter.drawText(foot, Qt.AlignmentFlag.AlignVCenter, self.source)
        painter.save()
        self.paint(painter, QRectF(0, _HEAD, self.size.width(), self.size.height()))
        painter.restore()

    def picture(self, scale: float = 2.0) -> QPixmap:
        """The picture alone, `scale` pixels a point."""
        out = QPixmap(self.size * scale)
        out.setDevicePixelRatio(scale)
        out.fill(self.colours.paper)
        painter = QPainter(out)
        self.paint(painter, QRectF(0, 0, self.size.width(), self.size.height()))
        painter.end()
        return out

    def save(self, path: str | Path) -> None:
        """Write it as PNG, SVG or PDF, by the ending of the path; raises OSError."""
        where = Path(path)
        write = {SVG: self._svg, PDF: self._pdf}.get(where.suffix.lower(), self._png)
        where.write_bytes(write())

    def _png(self, scale: float = 2.0) -> bytes:
        picture = QPixmap(self.whole * scale)
        picture.setDevicePixelRatio(scale)
        painter = QPainter(picture)
        self.draw(painter)
        painter.end()
        written = QBuffer()
        picture.save(written, "PNG")
        return bytes(written.data().data())

    def _svg(self) -> bytes:
        from PySide6.QtSvg import QSvgGenerator

        written, writer = QBuffer(), QSvgGenerator()
        writer.setOutputDevice(written)
        writer.setSize(self.whole)
        writer.setViewBox(QRect(0, 0, self.whole.width(), self.whole.height()))
        writer.setTitle(self.title)
        writer.setDescription(self.sentence)
        painter = QPainter(writer)
        self.draw(painter)
        painter.end()
        return bytes(written.data().data())

    def _pdf(self) -> bytes:
        written = QBuffer()
        written.open(QIODevice.OpenModeFlag.WriteOnly)
        writer = QPdfWriter(written)
        points = QSizeF(self.whole) * _POINTS_A_PX
        writer.setPageSize(QPageSize(points, QPageSize.Unit.Point))
        writer.setPageMargins(QMarginsF(0, 0, 0, 0))
        writer.setTitle(self.title)
        painter = QPainter(writer)
        scale = writer.width() / self.whole.width()
        painter.scale(scale, scale)
        self.draw(painter)
        painter.end()
        written.close()
        return bytes(written.data().data())


class PictureActions:
    """What can be done with a picture that is shown: copied, and saved as PNG, SVG or PDF. `sheet`
    makes it as it is now; what was saved, or why not, is said above the widget."""

    def __init__(self, owner: QWidget, what: str, sheet: Callable[[], PictureSheet]) -> None:
        self._owner, self._what, self._sheet = owner, what, sheet
        self._is = {"chart": what == "chart"}
        self.actions = [
            self._action(worded("desk.copy-the", **self._is), self.copy),
            *(
                self._action(
                    worded("desk.save-the-as", format=kind[1:].upper(), **self._is),
                    partial(self.ask, kind),
                )
                for kind in (PNG, SVG, PDF)
            ),
        ]

    def copy(self) -> None:
        """Put the picture alone on the clipboard."""
        QGuiApplication.clipboard().setPixmap(self._sheet().picture())

    def ask(self, kind: str, *_on: object) -> None:
        """Ask where, and save it there."""
        kinds = {PNG: dialogs.PICTURES_PNG, SVG: dialogs.PICTURES_SVG, PDF: dialogs.PDF}[kind]
        title = worded("desk.save-the", **self._is)
        path = dialogs.ask_save(self._owner, title, kinds, f"{self._what}{kind}")
        if not path:
            return
        path = path if Path(path).suffix.lower() in (PNG, SVG, PDF) else path + kind
        try:
            self._sheet().save(path)
        except OSError as error:
            words = worded("desk.not-saved", **self._is, file=path, why=error)
            report(self._owner, words, attention=True)
        else:
            report(self._owner, worded("desk.saved-as", path=path), attention=False)

    def show_menu(self, at: QPoint, on_it: Sequence[Command] = ()) -> None:
        """Offer them at a point of the screen, below what can be done with what is drawn there."""
        menu = Menu(self._owner)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if menu.offer(on_it):
            menu.addSeparator()
        menu.addActions(self.actions)
        menu.popup(at)

    def _action(self, title: str, slot: Callable[..., None]) -> QAction:
        action = QAction(title, self._owner)
        action.triggered.connect(slot)
        return action


def source_of(widget: QWidget, units: Sequence[str] = ()) -> str:
    """The line under a saved picture: its units, and the journal it is drawn from."""
    known = list(dict.fromkeys(unit for unit in units if unit))
    shown = f"{worded('desk.units-are', units=known)} " if known else ""
    journal = widget.window().windowTitle().partition(" · ")[0]
    day = day_words(now_ms(), system_zone())
    return shown + worded("desk.source", journal=journal or worded("desk.a-journal"), day=day)

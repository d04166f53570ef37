"""The sound of an alarm; where the computer has no sound it stays silent without an error."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLoggingCategory, QObject, QUrl
from PySide6.QtGui import QGuiApplication

from journal.records import RecordError
from journal.records.own_files import own_file

if TYPE_CHECKING:
    from PySide6.QtMultimedia import QSoundEffect

SOUNDS = ("bell", "kitchen", "soft")  # each a file among the sounds
_NO_EARS = ("offscreen", "minimal", "vnc")


class Bell(QObject):
    """Rings once on `ring`. The part of Qt that sounds is loaded then, and not before."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._effects: dict[str, QSoundEffect | None] = {}
        self.sound = SOUNDS[0]
        self.heard = False  # whether the last ring was handed to a device
        self.loudness = 1.0  # 0 to 1; at 0 it is silent

    def ring(self) -> None:
        """Sound it, where that can be done."""
        self.heard = False
        if QGuiApplication.platformName() in _NO_EARS or not self.loudness:
            return
        if self.sound not in self._effects:
            self._effects[self.sound] = _effect(self.sound, self)
        effect = self._effects[self.sound]
        if effect is not None:
            effect.setVolume(self.loudness)
            effect.play()
            self.heard = True


def _effect(sound: str, parent: QObject) -> QSoundEffect | None:
    """What plays the file; None where Qt has no sound, or the machine no device."""
    QLoggingCategory.setFilterRules("qt.multimedia*=false")  # what is missing is no one's news
    try:
        from PySide6.QtMultimedia import QMediaDevices, QSoundEffect

        if QMediaDevices.defaultAudioOutput().isNull():
            return None
        effect = QSoundEffect(parent)
        effect.setSource(QUrl.fromLocalFile(str(own_file("sounds", f"{sound}.wav"))))
    except (ImportError, RecordError, RuntimeError):
        return None
    return effect

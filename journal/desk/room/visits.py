"""A photo and a note a visit: typed, dropped, pasted, or from a folder where photos arrive."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QFileSystemWatcher, QObject
from PySide6.QtGui import QGuiApplication, QImage

from journal.desk import dialogs
from journal.desk.commands import Command
from journal.desk.drops import files_in
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, Field, FormValues
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.exchange.photo_time import taken_ms
from journal.keeping import KeepingError
from journal.keeping.photos import picture_kind
from journal.records import id_of
from journal.records.dates import read_day
from journal.records.instants import DAY_MS, same_day
from journal.records.makes import Note
from journal.records.wheels import Wheel
from journal.reports.rinds import Rim, WheelPhoto, visits_of, wheel_touched
from journal.wording import text_of, worded
from journal.wording.cautions import MOULD
from journal.wording.dates import clock, day_clock, short_day
from journal.wording.keys import key_of

_FOLDER, _SEEN = "ageing/photos", "ageing/photos seen ms"  # of the settings
_SUBJECT, _CAME = "visit", "photo came"  # the names of what is said in the place
_VISIT_DAYS = 0.5  # words typed so long after a photo are its words
_PASTED = "pasted.png"


class VisitController(QObject):
    """Keeps notes and photos of wheels. `current_wheel` is the selected wheel, `ask` opens a
    form in the place."""

    def __init__(
        self,
        desk: Desk,
        messages: MessageBar,
        current_wheel: Callable[[], Wheel | None],
        ask: Callable[[FormSpec], None],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._desk, self._messages = desk, messages
        self._current_wheel, self._ask = current_wheel, ask
        self._coming: list[Path] = []
        self._watcher = QFileSystemWatcher(self)
        self._watcher.directoryChanged.connect(self.look)
        self._watcher.fileChanged.connect(self.look)
        if self.folder and Path(self.folder).is_dir():
            self._watcher.addPath(self.folder)

    def commands(self) -> tuple[Command, ...]:
        """What can be done."""
        return (
            Command("note", "Add a note to the wheel…", self.ask_note, ("wheel_note", "note"),
                    self._has_wheel),
            Command("wheel_photo", "Add a photo of the wheel…", self.ask_photo, ("wheel_photo",
                    "photo"),
                    self._has_wheel),
            Command("paste_photo", "Paste a photo or a note to the wheel", self.paste,
                    ("paste",), self._has_wheel),
            Command("save_photo", "Save the photo that came", self.save_first, ("save",),
                    self.has_coming),
            Command("watch_photos", "Watch a folder for photos…", self.ask_folder),
        )  # fmt: skip

    def _has_wheel(self) -> bool:
        return self._current_wheel() is not None

    # Notes

    def ask_note(self) -> None:
        """Ask for words on the current wheel; they go to the photo of this visit, where one waits
        for words."""
        wheel = self._current_wheel()
        if wheel is None:
            return
        since = self._desk.clock() - round(_VISIT_DAYS * DAY_MS)
        waiting = [
            note
            for note in visits_of(self._desk.journal, id_of(wheel))
            if note.photo and not note.text and note.at_ms >= since
        ]
        now = self._desk.clock()
        self.edit(waiting[-1] if waiting else Note(now, "", wheel.make_id, wheel.id), wheel.code)

    def edit(self, note: Note, code: str) -> None:
        """Ask for the words of a note and its day, as they are now."""
        zone, now = self._desk.journal.zone, self._desk.clock()
        day = "today" if same_day(note.at_ms, now, zone) else short_day(note.at_ms, zone)
        fields = (
            Field("words", "Note", AS_TYPED, text=note.text, hint="What is to be seen", stretch=3),
            Field("day", "Day", AS_TYPED, text=day),
        )
        taken = day_clock(note.at_ms, zone, short=True)
        of = worded("desk.photo-of-day", when=taken) if note.photo else worded("desk.a-visit")
        self._ask(
            FormSpec(f"{code}, {of}", fields, partial(self._on_note, note, code),
                     caution=worded(MOULD), instants=(zone, now))
        )  # fmt: skip

    def _on_note(self, note: Note, code: str, filled: FormValues) -> None:
        words, journal = filled.text("words").strip(), self._desk.journal
        at = read_day(filled.text("day"), journal.zone, self._desk.clock())
        if note.id is not None and same_day(at, note.at_ms, journal.zone):
            at = note.at_ms
        if not words and not note.photo:
            if note.id is not None:
                with journal.unit(worded("desk.step-delete-note", code=code)):
                    journal.notes.remove(note.id)
            return
        with journal.unit(worded("desk.step-note", code=code)):
            journal.notes.save(replace(note, text=words, at_ms=at))

    # Photos

    def ask_photo(self) -> None:
        """Ask for a photo's file."""
        path = dialogs.ask_open(self._messages.window(), "A photo of the wheel", dialogs.PHOTOS)
        wheel = self._current_wheel()
        if path and wheel is not None:
            self.save([Path(path)], wheel)

    def paste(self) -> None:
        """Save what the clipboard has with the current wheel: files, a picture or words."""
        wheel, data = self._current_wheel(), QGuiApplication.clipboard().mimeData()
        if wheel is None:
            return
        if paths := files_in(data, dialogs.PHOTO_ENDS):
            self.save(paths, wheel)
        elif data.hasImage():
            self._save_image(QGuiApplication.clipboard().image(), wheel)
        elif data.text().strip():
            note = Note(self._desk.clock(), data.text().strip(), wheel.make_id, wheel.id)
            self.edit(note, wheel.code)

    def save_rim(self, photo: WheelPhoto, rim: Rim) -> None:
        """Keep where the rim is on a photo."""
        journal = self._desk.journal
        try:
            with journal.unit(worded("desk.step-rim", code=photo.code)):
                for note in journal.notes.where(id=photo.note_id):
                    journal.notes.save(replace(note, rim=tuple(rim)))
        except KeepingError as error:
            self._messages.show_message(_SUBJECT, text_of(error))

    def _save_image(self, image: QImage, wheel: Wheel) -> None:
        with TemporaryDirectory() as folder:
            path = Path(folder) / _PASTED
            if image.save(str(path)):
                self.save([path], wheel)

    def save(self, paths: Sequence[Path], wheel: Wheel) -> bool:
        """Save photos with a wheel, each at the time it was taken; one act. What cannot be is
        said."""
        journal, now = self._desk.journal, self._desk.clock()
        begun = journal.makes.get(wheel.make_id).started_ms
        at = now
        try:
            with journal.unit(worded("desk.step-photo", code=wheel.code)):
                for path in paths:
                    taken = now if path.name == _PASTED else taken_ms(path, journal.zone)
                    at = taken if begun <= taken <= now else now
                    note = Note(at, "", wheel.make_id, wheel.id)
                    journal.photos.save(note, path)
        except (KeepingError, OSError) as error:
            self._messages.show_message(_SUBJECT, text_of(error))
            return False
        which = "desk.photo-saved" if len(paths) == 1 else "desk.photos-saved"
        when = day_clock(at, journal.zone, short=True)
        text = worded(which, code=wheel.code, when=when, photos=len(paths))
        self._messages.show_message(_SUBJECT, text, attention=False)
        return True

    # The watched folder

    @property
    def folder(self) -> str:
        """The folder where photos arrive, "" while none is watched."""
        return str(self._desk.settings.value(_FOLDER, ""))

    def ask_folder(self) -> None:
        """Ask which folder to watch; what lies there already is not offered."""
        title = "Watch a folder for photos"
        self.watch(dialogs.ask_folder(self._messages.window(), title, self.folder))

    def watch(self, folder: str) -> None:
        """Watch that folder from now on; "" leaves it as it is."""
        if not folder:
            return
        for path in self._watcher.directories():
            self._watcher.removePath(path)
        self._desk.settings.setValue(_FOLDER, folder)
        self._mark(max((_changed(path) for path in _pictures(folder)), default=0))
        self._watcher.addPath(folder)
        text = worded("desk.photos-offered", folder=folder)
        self._messages.show_message(_SUBJECT, text, attention=False)

    def look(self, _path: str = "") -> None:
        """Look for photos that came since, and offer the first."""
        if not self.folder:
            return
        seen = int(str(self._desk.settings.value(_SEEN, 0)))
        new = [path for path in _pictures(self.folder) if _changed(path) > seen]
        self._coming = sorted((path for path in new if self._is_whole(path)), key=_changed)
        self._offer()

    def _is_whole(self, path: Path) -> bool:
        """A photo that is still being written is looked at again once more of it is there."""
        try:
            picture_kind(path)
        except (KeepingError, OSError):
            self._watcher.addPath(str(path))
            return False
        return not QImage(str(path)).isNull()

    def has_coming(self) -> bool:
        """A photo that came waits to be saved."""
        return bool(self._coming)

    def _offer(self) -> None:
        self._messages.clear(_CAME)
        if not self._coming:
            return
        path, zone = self._coming[0], self._desk.journal.zone
        wheel, touched = self._owner(path)
        if wheel is None:
            return
        at = taken_ms(path, zone)
        today = same_day(at, self._desk.clock(), zone)
        when = clock(at, zone) if today else day_clock(at, zone, short=True)
        save = worded("desk.save-with", code=wheel.code, key=key_of("save"))
        acts = [(save, self.save_first)]
        here = self._current_wheel()
        if here is not None and here.id != wheel.id:
            acts.append((worded("desk.with-wheel", code=here.code), partial(self._save_to, here)))
        acts.append(("Dismiss", self._pass_by))
        values = {"file": path.name, "when": when, "code": wheel.code}
        text = worded("desk.photo-came", touched=touched, **values)
        if len(self._coming) > 1:
            text = f"{text} {worded('desk.more-came', more=len(self._coming) - 1)}"
        self._messages.show_message(_CAME, text, attention=False, acts=acts)

    def _owner(self, path: Path) -> tuple[Wheel | None, bool]:
        """Whose a photo is: the wheel last touched by its time, else the current one."""
        journal = self._desk.journal
        found = wheel_touched(journal, taken_ms(path, journal.zone))
        return (found, True) if found is not None else (self._current_wheel(), False)

    def save_first(self) -> None:
        """Save the photo that came first with the wheel it is offered to."""
        if self._coming:
            wheel, _ = self._owner(self._coming[0])
            if wheel is not None:
                self._save_to(wheel)

    def _save_to(self, wheel: Wheel) -> None:
        path = self._coming[0]
        if self.save([path], wheel):
            self._pass_by()

    def _pass_by(self) -> None:
        if self._coming:
            self._mark(_changed(self._coming.pop(0)))
            self._offer()

    def _mark(self, at: int) -> None:
        self._desk.settings.setValue(_SEEN, at)


def _pictures(folder: str) -> list[Path]:
    try:
        return [
            path for path in Path(folder).iterdir() if path.suffix.lower() in dialogs.PHOTO_ENDS
        ]
    except OSError:
        return []


def _changed(path: Path) -> int:
    """When a file was changed last, ns; 0 for one that is gone."""
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0

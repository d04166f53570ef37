"""Pictures of every place, drawn from the real window: for looking at, and for the tour."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from journal.desk.places import PLACES
from journal.desk.shots import DRAWN_MS, SMALL, USUAL, Shot, draw_shot
from journal.desk.tastings.scenes import draw_session
from journal.desk.theme import Look
from journal.desk.undisplayed import application
from journal.desk.window import Window
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import MINUTE_MS, now_ms

AS_USUAL = Shot("", USUAL)
TOUR = (AS_USUAL,)
SHOTS = (
    AS_USUAL,
    Shot("dark", USUAL, "dark"),
    Shot("small", SMALL),
    Shot("small-dark", SMALL, "dark"),
    Shot("twofold", SMALL, "light", 2.0),
)


def draw_pictures(
    out_dir: str | Path,
    journal_path: str | Path | None = None,
    *,
    shots: tuple[Shot, ...] = SHOTS,
    places: tuple[str, ...] = (),
    with_empty: bool = True,
    with_many: bool = False,
    clock: Callable[[], int] | None = None,
) -> list[Path]:
    """Draw every place of a journal (the sample when none is named) as PNG files in `out_dir`.

    Returns the files written. `places` limits which; `with_empty` draws an empty journal too,
    `with_many` one of 1,000 makes.
    Runs without a display.
    """
    out = Path(out_dir)
    out.mkdir(parents=True, exist_ok=True)
    app = application()
    look = Look(app, "light")
    with TemporaryDirectory() as folder:
        path = Path(journal_path) if journal_path else _sample_in(Path(folder))
        at_ms = now_ms() if journal_path else DRAWN_MS
        made = list(_draw(app, look, path, out, shots, places, clock, at_ms))
        if with_empty:
            empty = Path(folder) / "empty.vatside"
            Journal.create(empty, letters="HL", zone="Europe/London").close()
            named = (Shot("empty", SMALL), Shot("empty-dark", SMALL, "dark"))
            made += _draw(app, look, empty, out, named, places, clock, at_ms)
        if journal_path is None and (not places or "vat" in places):
            made += draw_day(app, look, _sample_in(Path(folder), "day"), out)
        if journal_path is None and (not places or "tastings" in places):
            made += draw_session(app, look, _sample_in(Path(folder), "sitting"), out, shots)
        if journal_path is None and with_many:
            many = _many_in(Path(folder))
            made += _draw(app, look, many, out, (Shot("many", USUAL),), places, clock, at_ms)
    look.set_mode("light")
    look.deleteLater()
    return made


def draw_day(app: QApplication, look: Look, path: Path, out: Path) -> Iterator[Path]:
    """Draw the vat at eight moments of a day, and across the room."""
    from journal.desk.moments import DayAgain

    look.set_mode("light")
    with TemporaryDirectory() as folder, Journal.open(path) as journal:
        saved = QSettings(str(Path(folder) / "day.ini"), QSettings.Format.IniFormat)
        now = [0]
        day = DayAgain(journal, Path(folder))
        for moment in day.moments():
            now[0] = moment.at_ms
            window = Window(
                journal, clock=partial(now.__getitem__, 0), settings=saved, daily_backup=False
            )
            window.resize(USUAL)
            window.show()
            window.go("vat", day.make.id)
            if window.desk is not None:
                window.desk.alarm.tick()
            yield draw_shot(app, window, AS_USUAL, out / f"vat-{moment.name}")
            if moment.across:
                window.run("across")
                yield draw_shot(app, window, AS_USUAL, out / f"vat-{moment.name}-across")
            window.close()
            window.deleteLater()
            app.processEvents()


def _draw(
    app: QApplication,
    look: Look,
    path: Path,
    out: Path,
    shots: tuple[Shot, ...],
    places: tuple[str, ...],
    clock: Callable[[], int] | None,
    at_ms: int,
) -> Iterator[Path]:
    """Draw at the clock's time; without one as a running make was last read, else at `at_ms`."""
    with TemporaryDirectory() as folder, Journal.open(path) as journal:
        saved = QSettings(str(Path(folder) / "pictures.ini"), QSettings.Format.IniFormat)
        look.set_mode(shots[0].mode)
        first = places[0] if places else PLACES[0].key
        window = Window(
            journal, clock=clock or _clock_of(journal, at_ms), settings=saved, place=first,
            daily_backup=False,
        )  # fmt: skip
        window.show()
        for shot in shots:
            look.set_mode(shot.mode)
            window.resize(shot.size)
            for entry in PLACES:
                if places and entry.key not in places:
                    continue
                window.go(entry.key)
                yield draw_shot(app, window, shot, out / entry.key)
        window.close()
        window.deleteLater()
        app.processEvents()


def _clock_of(journal: Journal, otherwise_ms: int) -> Callable[[], int]:
    """For a make left running, the minute after its last reading."""
    running = journal.makes.running()
    last = journal.readings.last(id_of(running[0]), 1) if running else []
    at = last[0].at_ms + MINUTE_MS if last else otherwise_ms

    def clock() -> int:
        return at

    return clock


def _sample_in(folder: Path, name: str = "hollow-lane") -> Path:
    from journal.sample import write_sample

    written = folder / "sample" / "hollow-lane.vatside"
    if not written.exists():
        written.parent.mkdir()
        write_sample(written, now_ms=DRAWN_MS)
    return Path(shutil.copy(written, folder / f"{name}.vatside"))


def _many_in(folder: Path) -> Path:
    from journal.sample import write_sample

    path = folder / "many.vatside"
    write_sample(path, makes=1000, readings_per_make=200, now_ms=DRAWN_MS)
    return path

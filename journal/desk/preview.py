"""One place alone, with the sample's data: `python -m journal.desk.preview ROOM`.

On a desktop the place opens by itself, without the window around it. Without a display it is drawn
to a PNG in the current folder.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QSettings

from journal.desk.alarm import Alarm, timekeeper_on
from journal.desk.place import Desk, Place
from journal.desk.places import PLACES, build
from journal.desk.sensors.holder import SensorHolder
from journal.desk.shots import DRAWN_MS, USUAL, grab, settle
from journal.desk.theme import Look
from journal.desk.undisplayed import application
from journal.desk.work import Work
from journal.keeping import Journal
from journal.records.clocks import Clocks, machine_clocks
from journal.records.instants import now_ms


class PlaceAlone:
    """A place on a desk of its own. What it asks of the window is written to standard output."""

    def __init__(self, key: str, journal: Journal, clocks: Clocks, settings: QSettings) -> None:
        self._journal = journal
        self._work = Work()
        self._alarm = Alarm(journal, timekeeper_on(clocks, journal))
        newest = journal.makes.rows()
        desk = Desk(
            journal, self._alarm.now, self._work, settings, self._alarm,
            _asks("the dialog of the sensors"), _asks("the dialog of past makes"),
            SensorHolder(journal, self._alarm.now, self._work), newest[0].id if newest else None,
        )  # fmt: skip
        self.place: Place = build(next(entry for entry in PLACES if entry.key == key), desk)
        self.place.add_actions()
        self.place.goes.connect(self._on_goes)
        journal.listen(self._alarm.on_change)
        journal.listen(self.place.notice)
        self.place.setWindowTitle(f"{self.place.title}, alone")
        self.place.resize(USUAL)
        self.place.show()
        self.place.enter()

    def close(self) -> None:
        """Write down what is typed, and end what is under way."""
        self.place.save_state()
        self._work.finish()
        self._alarm.stop()
        self._journal.unlisten(self._alarm.on_change)
        self._journal.unlisten(self.place.notice)
        self.place.close()
        self.place.deleteLater()

    def _on_goes(self, key: str, make_id: int | None) -> None:
        _asks(f"the place {key}" if make_id is None else f"the place {key} with make {make_id}")()


def main(words: Sequence[str] | None = None) -> int:
    """Show the place that is named, or draw it where there is no display."""
    args = _parser().parse_args(words)
    app = application()
    display = app.platformName() != "offscreen"
    drawn = args.picture or not display
    look = Look(app, "dark" if args.dark else "light" if drawn else "system")
    with TemporaryDirectory() as folder:
        clocks = Clocks(_drawn_now) if drawn else machine_clocks()
        settings = QSettings(str(Path(folder) / "preview.ini"), QSettings.Format.IniFormat)
        with _journal(Path(folder), empty=args.empty, at_ms=DRAWN_MS if drawn else now_ms()) as it:
            alone = PlaceAlone(args.room, it, clocks, settings)
            if drawn:
                why = "" if display else "There is no display to show it on. "
                path = _picture_name(args)
                settle(app, alone.place)
                grab(alone.place, 1.0).save(str(path), "PNG")
                sys.stdout.write(f"{why}Drawn to {path} in the current folder.\n")
            else:
                app.exec()
            alone.close()
            app.processEvents()
    look.deleteLater()
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m journal.desk.preview", description=__doc__)
    keys = [entry.key for entry in PLACES]
    parser.add_argument("room", metavar="ROOM", choices=keys, help=", ".join(keys))
    parser.add_argument("--dark", action="store_true", help="in dark colours")
    parser.add_argument("--empty", action="store_true", help="with an empty journal")
    parser.add_argument("--picture", action="store_true", help="draw it, with a display too")
    return parser


def _journal(folder: Path, *, empty: bool, at_ms: int) -> Journal:
    from journal.sample import write_sample

    path = folder / "hollow-lane.vatside"
    if empty:
        return Journal.create(path, letters="HL", zone="Europe/London")
    write_sample(path, now_ms=at_ms)
    return Journal.open(path)


def _drawn_now() -> int:
    return DRAWN_MS


def _picture_name(args: argparse.Namespace) -> Path:
    marks = [mark for mark in ("empty", "dark") if getattr(args, mark)]
    return Path(f"{'-'.join([args.room, *marks])}.png")


def _asks(what: str) -> Callable[[], None]:
    def say() -> None:
        sys.stdout.write(f"It asks the window for {what}.\n")

    return say


if __name__ == "__main__":
    sys.exit(main())

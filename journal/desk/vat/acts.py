"""What is done to the day at the vat: longer, skipped, again, turned; timers, notes, photos."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from journal.desk import dialogs
from journal.desk.commands import Command
from journal.desk.vat.ask import Part
from journal.desk.vat.said import said_of
from journal.keeping import KeepingError
from journal.quantities.typed import parse
from journal.quantities.written import write
from journal.records import RecordError
from journal.records.instants import MINUTE_MS, at_clock, clock
from journal.records.makes import Make, Note
from journal.records.timers import FLOCCULATION

PHOTOS = "Photos (*.jpg *.jpeg *.png *.webp);;All files (*)"
_PHOTO_ENDS = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".bmp")
_WHY = Part("Why", "the break is soft", stretch=2)
WHY_FAILED = Part("Why", "the culture was dead")


class DayActs:
    """Mixed into the place of the vat before Place. Each act is one change with a name, so that
    undo says what it takes back; what is refused is said in the place."""

    def act_commands(self) -> tuple[Command, ...]:
        """What can be done to the day."""
        return (
            Command("longer", "Let the stage run longer", self.longer, ("Ctrl+L",), self.has_stage),
            Command("how_long", "Longer or shorter, and why…", self.ask_longer, ("Ctrl+Shift+L",),
                    self.has_stage),
            Command("skip_next", "Skip the next stage", self.skip_next, ("Ctrl+J",),
                    self.has_stage),
            Command("skip", "Skip the stage at hand", self.skip, ("Ctrl+Shift+J",), self.has_stage),
            Command("again", "Begin the stage again", self.again, ("Ctrl+R",), self.has_stage),
            Command("began", "The stage began at…", self.ask_began, ("Ctrl+Shift+T",),
                    self.has_stage),
            Command("turn", "Turned", self.turn, ("F8",), self.has_stage),
            Command("flecks", "Rennet is in; the first flecks", self.flocculation, ("F5",),
                    self.has_running),
            Command("timer", "Start a timer…", self.ask_timer, ("F9",), self.has_running),
            Command("stop_timer", "Stop a timer", self.stop_timer, ("Shift+F9",), self.has_timer),
            Command("note", "Note something…", self.ask_note, ("F7",), self.has_day),
            Command("photo", "Note with a photo…", self.ask_photo, ("Shift+F7",), self.has_day),
            Command("before", "Before the start", self.before_start, ("Ctrl+B",)),
            Command("ice", "Thermometer in ice water…", self.check_thermometer, ("F4",)),
            Command("buffers", "Meter in two buffers…", self.check_meter, ("Shift+F4",)),
            Command("other", "The other make", self.other_make, ("F3",), self.has_other),
            Command("failed", "It failed, or is abandoned…", self.ask_failed,
                    enabled=self.may_fail),
            Command("not_failed", "It did not fail", self.take_back_failure,
                    enabled=self.has_failed),
            Command("delete", "Delete the make", self.delete_make, enabled=self.has_day),
        )  # fmt: skip

    def has_stage(self) -> bool:
        """A stage runs."""
        return self.has_running() and self._day.standing.stage is not None

    def has_timer(self) -> bool:
        """A timer runs."""
        return self.has_day() and any(t.running for t in self._whole.timers)

    def has_other(self) -> bool:
        """Another make runs too."""
        return self.has_day() and bool(self._day.others)

    _photo = ""  # the photo words are asked for

    # The stage

    def longer(self) -> None:
        """Let the stage run as much longer as the numbers say; where they say nothing, ask."""
        if not self.has_stage():
            return
        offer = said_of(self._day).offer
        if offer is None:
            self.ask_longer()
        else:
            self._do(self.journal.day.lengthen, self._whole.make.id, offer.minutes, offer.reason)

    def ask_longer(self) -> None:
        """Ask how much longer, and why."""
        if self.has_stage():
            label = self._day.standing.stage.label
            parts = (Part("How much longer", "10 min", "10 min"), _WHY)
            self.page.open_ask(f"Let the {label} run longer", parts, self._on_longer)

    def _on_longer(self, how_long: str, why: str) -> None:
        self.journal.day.lengthen(self._whole.make.id, _minutes(how_long, shorter=True), why)

    def skip_next(self) -> None:
        """Leave the next stage out."""
        if self.has_stage():
            self._do(self.journal.day.skip_next, self._whole.make.id)

    def skip(self) -> None:
        """Leave the stage at hand out and begin the next."""
        if self.has_stage():
            self._do(self.journal.day.skip, self._whole.make.id, self.desk.clock())

    def again(self) -> None:
        """Begin the stage at hand again."""
        if self.has_stage():
            label = self._day.standing.stage.label
            self.page.open_ask(f"Begin the {label} again from now", (_WHY,), self._on_again)

    def _on_again(self, why: str) -> None:
        self.journal.day.again(self._whole.make.id, self.desk.clock(), why)

    def ask_began(self) -> None:
        """Ask when the stage at hand really began."""
        if self.has_stage():
            standing = self._day.standing
            at = clock(standing.run.began_ms, self._whole.make.zone)
            parts = (Part("It began at", at, at), Part("Why", "a visitor at the door", stretch=2))
            self.page.open_ask(f"When the {standing.stage.label} began", parts, self._on_began)

    def _on_began(self, at: str, why: str) -> None:
        make = self._whole.make
        at_ms = at_clock(at, make.zone, make.started_ms, self.desk.clock())
        self.journal.day.begin_at(make.id, at_ms, why)

    def turn(self) -> None:
        """Note a turn."""
        if self.has_stage():
            self._do(self.journal.day.turn, self._whole.make.id, self.desk.clock())

    # Failed, deleted

    def may_fail(self) -> bool:
        """A make is shown that has not failed."""
        return self.has_day() and not self._whole.make.failed

    def has_failed(self) -> bool:
        """The make that is shown has failed."""
        return self.has_day() and self._whole.make.failed

    def ask_failed(self) -> None:
        """Ask why the make failed, or is abandoned."""
        if self.may_fail():
            make = self._whole.make
            done = "is abandoned" if make.running else "failed"
            self.page.open_ask(f"Why {make.code} {done}", (WHY_FAILED,), self._on_failed_why)

    def _on_failed_why(self, why: str) -> None:
        self.journal.outcomes.fail(self._whole.make.id, why, self.desk.clock())

    def take_back_failure(self) -> None:
        """The make did not fail; one that was abandoned runs on."""
        if self.has_failed():
            self._do(self.journal.outcomes.take_back_failure, self._whole.make.id)

    def delete_make(self) -> None:
        """Put the make into the bin."""
        if self.has_day():
            code = self._whole.make.code
            if self._do(self.journal.outcomes.delete, self._whole.make.id) is not None:
                self.say("vat", deleted_words(code), attention=False)

    # Timers

    def flocculation(self) -> None:
        """The rennet is in: start the test. Again: the first flecks show, and say when to cut."""
        if not self.has_running():
            return
        make_id, now = self._whole.make.id, self.desk.clock()
        tests = [t for t in self._whole.timers if t.name == FLOCCULATION and t.running]
        if not tests:
            self._do(self.journal.day.start_timer, make_id, FLOCCULATION, now)
            return
        found = self._do(self.journal.day.first_flecks, make_id, now)
        if found is not None:
            test, cut_ms = found
            took = f"The first flecks after {test.took_min:.1f} min"
            if cut_ms is None:
                self.say("flecks", f"{took}; the plan names no multiplier for the cut.")
            else:
                at = clock(cut_ms, self._whole.make.zone)
                self.say("flecks", f"{took}: cut at {at}.", attention=False)

    def ask_timer(self) -> None:
        """Ask for a timer of one's own."""
        if self.has_running():
            parts = (Part("How long", "5 min"), Part("For what", "stir", stretch=2))
            self.page.open_ask("Start a timer", parts, self._on_timer)

    def _on_timer(self, how_long: str, what: str) -> None:
        minutes = _minutes(how_long)
        name = what or write(minutes, "duration")
        self.journal.day.start_timer(self._whole.make.id, name, self.desk.clock(), minutes)

    def stop_timer(self) -> None:
        """Stop the timer that is up, or would be first."""
        if self.has_timer():
            running = [t for t in self._whole.timers if t.running]
            running.sort(key=_first_up)
            self._do(self.journal.day.stop_timer, running[0].id, self.desk.clock())

    # Notes

    def ask_note(self) -> None:
        """Ask for words about this moment."""
        if self.has_day():
            self.page.open_ask("A note about this moment", (Part("Note", "what is to be seen"),),
                               self._on_note)  # fmt: skip

    def _on_note(self, text: str) -> None:
        if not text:
            raise RecordError("Nothing was typed.")
        self.journal.notes.keep(Note(self._note_at(), text, self._whole.make.id))

    def ask_photo(self) -> None:
        """Ask for a photo, then for words to it."""
        if self.has_day():
            path = dialogs.ask_open(self.window(), "A photo of this moment", PHOTOS)
            if path:
                self.take_photo(path)

    def take_photo(self, path: str) -> None:
        """Keep a photo with this moment, once words to it were typed or left empty."""
        self._photo = path
        parts = (Part("Words to it", "they may be left empty"),)
        self.page.open_ask(f"The photo {Path(path).name}", parts, self._on_photo)

    def _on_photo(self, text: str) -> None:
        note = Note(self._note_at(), text, self._whole.make.id)
        self.journal.photos.keep(note, self._photo)

    def _note_at(self) -> int:
        """Now; for a make that is over, its end."""
        finished = self._whole.make.finished_ms
        return self.desk.clock() if finished is None else finished

    # Before the start

    def before_start(self) -> None:
        """The list before the start."""
        from journal.desk.vat.before import BeforeStart

        make = self._whole.make if self.has_running() else None
        shown = BeforeStart(self.journal, make, self.desk.clock, self.window())
        shown.check_asked.connect(self.check)
        shown.open()

    def check_thermometer(self) -> None:
        """Check the thermometer in ice water."""
        self.check("thermometer")

    def check_meter(self) -> None:
        """Check the meter in two buffers."""
        self.check("meter")

    def check(self, instrument: str) -> None:
        """Check an instrument; readings are corrected from then on. The check is noted with the
        make that is shown, before the start with the one before."""
        make = self._whole.make if self._whole is not None else self._newest()
        if make is None:
            self.say("check", "A check is noted with a make. Begin the first one, then check.")
            return
        from journal.desk.vat.checks import InstrumentCheck

        self.clear("check")
        InstrumentCheck(self.journal, make, instrument, self.desk.clock, self.window()).open()

    def _newest(self) -> Make | None:
        try:
            return self.journal.makes.by_code("latest")
        except KeepingError:
            return None

    # The other make

    def other_make(self) -> None:
        """Show the next of the makes that run."""
        if not self.has_other():
            return
        ids = sorted([self._whole.make.id, *(other.make_id for other in self._day.others)])
        following = ids[(ids.index(self._whole.make.id) + 1) % len(ids)]
        self.turn_to(following)

    # Done

    def _do(self, act: Callable, *args):
        """Do it; what is refused is said in the place. Returns what it returned, None if not."""
        try:
            found = act(*args)
        except (KeepingError, RecordError) as error:
            self.say("vat", str(error))
            return None
        self.clear("vat")
        return found


def deleted_words(code: str) -> str:
    """What is said once a make is in the bin."""
    return (
        f"{code} is in the bin, with its wheels. Ctrl Z brings it back now, “Bring back a deleted "
        "make” in Makes at any time."
    )


def is_photo(path: str) -> bool:
    """Whether a file's name says that it is a photo."""
    return path.lower().endswith(_PHOTO_ENDS)


def _minutes(text: str, *, shorter: bool = False) -> float:
    """A length of time as typed; with `shorter` a minus before it is understood."""
    less = shorter and text.startswith(("-", "−"))
    kept = parse(text.lstrip("-−").strip(), "duration", default_unit="min").kept
    if kept <= 0:
        raise RecordError("Give some minutes, like 10 min.")
    return -kept if less else kept


def _first_up(timer) -> tuple[bool, int]:
    return timer.ends_ms is None, timer.ends_ms or timer.started_ms + MINUTE_MS

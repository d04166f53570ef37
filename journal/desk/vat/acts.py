"""What is done to the day at the vat: longer, skipped, again, turned; timers, notes, photos."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, ParamSpec, TypeVar

from journal.desk import dialogs
from journal.desk.asking import agreed
from journal.desk.commands import Command
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, Field, FormValues
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.vat.groups import CHECKS, NOTES, STAGE, TIMERS, WHOLE
from journal.keeping import KeepingError
from journal.message import Instant
from journal.quantities.typed import parse
from journal.records import RecordError, id_of
from journal.records.instants import MINUTE_MS, at_clock
from journal.records.makes import Make, Note
from journal.records.plans import Stage
from journal.records.timers import FLOCCULATION, Timer
from journal.wording import text_of, worded
from journal.wording.at_the_vat import page_text
from journal.wording.dates import clock_to_type
from journal.wording.shown import write

if TYPE_CHECKING:  # Makes has words from here, and no use for the page
    from journal.desk.vat.makes import KnownMake, VatMakes
    from journal.desk.vat.page import VatPage

# By these keys lies in the settings what is typed to a question and not kept; they do not change.
_LONGER, _AGAIN, _BEGAN = "_on_longer", "_on_again", "_on_began"
_TIMER, _NOTE, _PHOTO, _FAILED = "_on_timer", "_on_note", "_on_photo", "_on_failed_why"
_WHY = Field("why", "Why", AS_TYPED, hint="the break is soft", stretch=2)


_Args = ParamSpec("_Args")
_Found = TypeVar("_Found")


class MakeActs:
    """What is done to the current make. Each act is one change with a name, so that undo says what
    it takes back; what is refused is said in the place."""

    def __init__(self, desk: Desk, makes: VatMakes, page: VatPage, messages: MessageBar) -> None:
        self._desk, self._journal = desk, desk.journal
        self._makes, self._page, self._messages = makes, page, messages
        self._photo = ""  # the photo words are asked for

    def commands(self) -> tuple[Command, ...]:
        """What can be done to the day."""
        has_day, has_running = self._makes.has_day, self._makes.has_running
        has_stage = self._makes.has_stage
        of_the_stage = (
            Command("longer", "Let the stage run longer", self.longer, (), has_stage,
                    STAGE),
            Command("how_long", "Make the stage longer or shorter…", self.ask_longer,
                    (), has_stage, STAGE),
            Command("skip_next", "Skip the next stage", self.skip_next, (), has_stage,
                    STAGE),
            Command("skip", "Skip this stage", self.skip, (), has_stage, STAGE),
            Command("again", "Restart the stage", self.again, (), has_stage, STAGE),
            Command("began", "Change when the stage began…", self.ask_began, (),
                    has_stage, STAGE),
            Command("times", "Times of all stages…", self.show_times, (), self.has_begun, STAGE),
            Command("paper", "The day from paper…", self.from_paper, ("from_paper",),
                    self._makes.has_day, WHOLE),
            Command("turn", "Record a turn", self.turn, (), has_stage, STAGE),
        )  # fmt: skip
        return (
            *of_the_stage,
            Command("flecks", "Record the rennet, then the first flecks", self.flocculation,
                    (), has_running, TIMERS),
            Command("timer", "Start a timer…", self.ask_timer, (), has_running, TIMERS),
            Command("stop_timer", "Stop a timer", self.stop_timer, (), self.has_timer,
                    TIMERS),
            Command("note", "Add a note…", self.ask_note, (), has_day, NOTES),
            Command("photo", "Add a note with a photo…", self.ask_photo, (), has_day,
                    NOTES),
            Command("before", "Before the start", self.before_start, menu=CHECKS),
            Command("ice", "Check the thermometer in ice water…", self.check_thermometer,
                    menu=CHECKS),
            Command("bath_ice", "Check the bath’s thermometer in ice water…",
                    self.check_bath_thermometer, menu=CHECKS),
            Command("buffers", "Check the pH meter in two buffers…", self.check_meter, menu=CHECKS),
            Command("milk", "Change the milk amount…", self.correct_milk, ("amount",), has_day,
                    WHOLE),
            Command("plan", "Another plan was meant…", self.correct_plan, (), has_day, WHOLE),
            Command("other", "Show the other make", self.other_make, (), self.has_other,
                    WHOLE),
            Command("failed", "Mark as failed or abandoned…", self.ask_failed, (), self.may_fail,
                    WHOLE),
            Command("not_failed", "Mark as not failed", self.take_back_failure, (),
                    self.has_failed, WHOLE),
            Command("delete", "Delete the make", self.delete_make, ("delete_make",), has_day,
                    WHOLE),
        )  # fmt: skip

    def has_timer(self) -> bool:
        """A timer runs."""
        return self._makes.has_day() and any(t.running for t in self._makes.day.whole.timers)

    def has_other(self) -> bool:
        """Another make runs too."""
        return self._makes.has_day() and bool(self._makes.day.others)

    @property
    def _make(self) -> Make:
        return self._makes.day.whole.make

    @property
    def _make_id(self) -> int:
        return self._makes.day.make_id

    @property
    def _stage(self) -> Stage | None:
        """The current stage, None while none runs."""
        return self._makes.day.page_state.stage if self._makes.has_running() else None

    # The stage

    def end_stage(self) -> None:
        """End the current stage; after the last, ask for the wheels."""
        if not self._makes.has_running():
            return
        if self._makes.day.page_state.next_stage is None:
            finish = self._page.finish
            (finish.submit if finish.asking else finish.ask)()
        elif self._agreed(worded("desk.finish-stage-asked", stage=self._stage_name())):
            self._do(self._journal.makes.end_stage, self._make_id, self._desk.clock())

    def finish(self, weights_kg: list[float]) -> bool:
        """Finish the make with wheels of these green weights; False where that is refused."""
        make = self._make
        question = worded("desk.finish-make-asked", code=make.code)
        if not agreed(self._messages, self._desk.settings, question, "ask_finish"):
            return False
        try:
            wheels = self._journal.makes.finish(self._make_id, weights_kg, self._desk.clock())
        except (KeepingError, RecordError) as error:
            self._page.finish.refuse(text_of(error))
            return False
        which = "desk.make-finished" if wheels else "desk.make-finished-bare"
        text = worded(which, code=make.code, wheels=[wheel.code for wheel in wheels])
        self._messages.show_message("finished", text, attention=False)
        return True

    def _agreed(self, question: str) -> bool:
        return agreed(self._messages, self._desk.settings, question, "ask_stage")

    def _stage_name(self) -> str:
        return "stage" if self._stage is None else self._stage.label

    def longer(self) -> None:
        """Let the stage run as much longer as the numbers say; where they say nothing, ask."""
        if self._stage is None:
            return
        offer = page_text(self._makes.day).offer
        if offer is None:
            self.ask_longer()
        else:
            self._do(self._journal.day.lengthen, self._make_id, offer.minutes, offer.reason)

    def ask_longer(self) -> None:
        """Ask how much longer, and why."""
        stage = self._stage
        if stage is not None:
            usual = "10 min"
            long = Field("long", "How much longer", AS_TYPED, text=usual, hint=usual)
            title = worded("desk.let-run-longer", stage=stage.label)
            self._page.open_ask(FormSpec(title, (long, _WHY), self._on_longer, _LONGER))

    def _on_longer(self, message: FormValues) -> None:
        minutes = _minutes(message.text("long"), shorter=True)
        self._journal.day.lengthen(self._make_id, minutes, message.text("why"))

    def skip_next(self) -> None:
        """Leave the next stage out."""
        if self._stage is not None and self._agreed("Skip the next stage?"):
            self._do(self._journal.day.skip_next, self._make_id)

    def skip(self) -> None:
        """Leave the current stage out and begin the next."""
        if self._stage is not None and self._agreed(
            worded("desk.skip-stage-asked", stage=self._stage_name())
        ):
            self._do(self._journal.day.skip, self._make_id, self._desk.clock())

    def again(self) -> None:
        """Begin the current stage again."""
        stage = self._stage
        if stage is not None:
            title = worded("desk.restart-stage", stage=stage.label)
            self._page.open_ask(FormSpec(title, (_WHY,), self._on_again, _AGAIN))

    def _on_again(self, message: FormValues) -> None:
        self._journal.day.again(self._make_id, self._desk.clock(), message.text("why"))

    def ask_began(self) -> None:
        """Ask when the current stage really began."""
        stage, run = self._stage, self._makes.day.page_state.run if self._makes.shown else None
        if stage is not None and run is not None and run.began_ms is not None:
            at = clock_to_type(run.began_ms, self._make.zone)
            fields = (
                Field("at", "It began at", AS_TYPED, text=at, hint=at),
                replace(_WHY, hint="a visitor at the door"),
            )
            title = worded("desk.when-stage-began", stage=stage.label)
            self._page.open_ask(FormSpec(title, fields, self._on_began, _BEGAN))

    def _on_began(self, message: FormValues) -> None:
        make = self._make
        at_ms = at_clock(message.text("at"), make.zone, make.started_ms, self._desk.clock())
        self._journal.day.begin_at(self._make_id, at_ms, message.text("why"))

    def has_begun(self) -> bool:
        """A make is shown of which a stage has begun."""
        return self._makes.has_day() and any(
            run.began_ms is not None for run in self._makes.day.whole.runs
        )

    def show_times(self, stage: int | None = None) -> None:
        """When each stage began and the last one ended, to be typed otherwise."""
        if self.has_begun():
            from journal.desk.vat.times import StageTimes

            whole, window = self._makes.day.whole, self._messages.window()
            StageTimes(self._journal, whole, self._desk.clock, window, stage).open()

    def from_paper(self) -> None:
        """Type in the day that was kept on the printed sheet."""
        if self._makes.has_day():
            from journal.desk.vat.paper_day import PaperDayDialog

            whole, window = self._makes.day.whole, self._messages.window()
            shown = PaperDayDialog(self._journal, whole, self._desk.clock, window)
            shown.message.connect(self._on_message)
            shown.open()

    def correct_milk(self) -> None:
        """Put right how much milk there was."""
        self._correct("milk")

    def correct_plan(self) -> None:
        """Put right by which plan it was run; the readings stay."""
        self._correct("plan")

    def _correct(self, first: str) -> None:
        if self._makes.has_day():
            from journal.desk.vat.make_facts import MakeFacts

            window = self._messages.window()
            MakeFacts(self._journal, self._makes.day.whole, window, first).open()

    def _on_message(self, sentence: str) -> None:
        self._messages.show_message("paper", sentence, attention=False)

    def turn(self) -> None:
        """Note a turn."""
        if self._stage is not None:
            self._do(self._journal.day.turn, self._make_id, self._desk.clock())

    # Failed, deleted

    def may_fail(self) -> bool:
        """A make is shown that has not failed."""
        return self._makes.has_day() and not self._make.failed

    def has_failed(self) -> bool:
        """The make that is shown has failed."""
        return self._makes.has_day() and self._make.failed

    def ask_failed(self) -> None:
        """Ask why the make failed, or is abandoned."""
        if self.may_fail():
            make = self._make
            self._page.open_ask(why_failed(make.code, make.running, self._on_failed_why))

    def _on_failed_why(self, message: FormValues) -> None:
        self._journal.outcomes.fail(self._make_id, message.text("why"), self._desk.clock())

    def take_back_failure(self) -> None:
        """The make did not fail; one that was abandoned runs on."""
        if self.has_failed():
            self._do(self._journal.outcomes.take_back_failure, self._make_id)

    def delete_make(self) -> None:
        """Put the make into the bin."""
        if self._makes.has_day():
            code = self._make.code
            question = worded("desk.delete-make-asked", code=code)
            if not agreed(self._messages, self._desk.settings, question):
                return
            if self._do(self._journal.outcomes.delete, self._make_id) is not None:
                deleted = worded("desk.make-deleted", code=code)
                self._messages.show_message("vat", deleted, attention=False)

    # Timers

    def flocculation(self) -> None:
        """The rennet is in: start the test. Again: the first flecks show, and say when to cut."""
        if not self._makes.has_running():
            return
        make_id, now = self._make_id, self._desk.clock()
        tests = [t for t in self._makes.day.whole.timers if t.name == FLOCCULATION and t.running]
        if not tests:
            self._do(self._journal.day.start_timer, make_id, FLOCCULATION, now)
            return
        found = self._do(self._journal.day.first_flecks, make_id, now)
        if found is not None:
            test, cut_ms = found
            which = "desk.first-flecks" if cut_ms is None else "desk.first-flecks-cut"
            text = worded(which, took=test.took_min, cut=Instant(cut_ms or 0, self._make.zone))
            self._messages.show_message("flecks", text, attention=cut_ms is None)

    def ask_timer(self) -> None:
        """Ask for a timer of one's own."""
        if self._makes.has_running():
            fields = (
                Field("long", "How long", AS_TYPED, hint="5 min"),
                Field("what", "For what", AS_TYPED, hint="stir", stretch=2),
            )
            self._page.open_ask(FormSpec("Start a timer", fields, self._on_timer, _TIMER))

    def _on_timer(self, message: FormValues) -> None:
        minutes = _minutes(message.text("long"))
        name = message.text("what") or write(minutes, "duration")
        self._journal.day.start_timer(self._make_id, name, self._desk.clock(), minutes)

    def stop_timer(self) -> None:
        """Stop the timer that is up, or would be first."""
        if self.has_timer():
            running = [t for t in self._makes.day.whole.timers if t.running]
            self.end_timer(id_of(min(running, key=_first_up)))

    def end_timer(self, timer_id: int) -> None:
        """A timer is done with."""
        self._do(self._journal.day.stop_timer, timer_id, self._desk.clock())

    # Notes

    def ask_note(self) -> None:
        """Ask for words about this moment."""
        if self._makes.has_day():
            field = Field("note", "Note", AS_TYPED, hint="what you see")
            title = "A note about this moment"
            self._page.open_ask(FormSpec(title, (field,), self._on_note, _NOTE))

    def _on_note(self, message: FormValues) -> None:
        text = message.text("note")
        if not text:
            raise RecordError("desk.note-is-empty")
        self._journal.notes.save(Note(self._note_at(), text, self._make_id))

    def ask_photo(self) -> None:
        """Ask for a photo, then for words to it."""
        if self._makes.has_day():
            path = dialogs.ask_open(
                self._messages.window(), "A photo of this moment", dialogs.PHOTOS
            )
            if path:
                self.take_photo(path)

    def take_photo(self, path: str) -> None:
        """Keep a photo with this moment, once words to it were typed or left empty."""
        self._photo = path
        field = Field("words", "Caption", AS_TYPED, hint="optional")
        title = worded("desk.the-photo", file=Path(path).name)
        self._page.open_ask(FormSpec(title, (field,), self._on_photo, _PHOTO))

    def _on_photo(self, message: FormValues) -> None:
        note = Note(self._note_at(), message.text("words"), self._make_id)
        self._journal.photos.save(note, self._photo)

    def _note_at(self) -> int:
        """Now; for a make that is over, its end."""
        finished = self._make.finished_ms
        return self._desk.clock() if finished is None else finished

    # Questions that were left

    @property
    def asked_photo(self) -> str:
        """The photo words are asked for now, "" while they are for none."""
        return self._photo if self._page.ask.key == _PHOTO else ""

    def ask_again(self, key: str) -> None:
        """Ask again the question of that key, as far as it can be asked."""
        asks = {
            _LONGER: self.ask_longer, _AGAIN: self.again, _BEGAN: self.ask_began,
            _TIMER: self.ask_timer, _NOTE: self.ask_note,
        }  # fmt: skip
        if key in asks:
            asks[key]()

    # What happened, and what is said of eating it

    def what_happened(self) -> None:
        """List what happened in the day."""
        if self._makes.has_day():
            from journal.desk.vat.happened import Happened

            Happened(self._makes.day, self._messages.window()).open()

    def save_verdict(self, known: KnownMake) -> None:
        """Save the verdict on eating a make, from the first time on."""
        if known.ahead is not None and known.ahead.verdict is not None:
            self._do(self._journal.outcomes.save_verdict, known.whole.make, known.ahead.verdict)

    # Before the start

    def before_start(self) -> None:
        """The list before the start."""
        from journal.desk.vat.before import BeforeStart

        make = self._make if self._makes.has_running() else None
        shown = BeforeStart(self._journal, make, self._desk.clock, self._messages.window())
        shown.check_asked.connect(self.check)
        shown.open()

    def check_thermometer(self) -> None:
        """Check the thermometer in ice water."""
        self.check("thermometer")

    def check_bath_thermometer(self) -> None:
        """Check the second thermometer, of the bath, in ice water."""
        self.check("bath-thermometer")

    def check_meter(self) -> None:
        """Check the meter in two buffers."""
        self.check("meter")

    def check(self, instrument: str) -> None:
        """Check an instrument; readings are corrected from then on. The check is noted with the
        make that is shown, before the start with the one before."""
        make = self._make if self._makes.has_day() else self._newest()
        if make is None:
            words = "A check is saved with a make. Start the first make, then check."
            self._messages.show_message("check", words)
            return
        from journal.desk.vat.checks import InstrumentCheck

        self._messages.clear("check")
        InstrumentCheck(
            self._journal, make, instrument, self._desk.clock, self._messages.window()
        ).open()

    def _newest(self) -> Make | None:
        try:
            return self._journal.makes.by_code("latest")
        except KeepingError:
            return None

    # The other make

    def other_make(self) -> None:
        """Show the next of the makes that run."""
        if not self.has_other():
            return
        day = self._makes.day
        ids = sorted([day.make_id, *(other.make_id for other in day.others)])
        self._makes.turn_to(ids[(ids.index(day.make_id) + 1) % len(ids)])

    # Done

    def _do(
        self, act: Callable[_Args, _Found], *args: _Args.args, **kwargs: _Args.kwargs
    ) -> _Found | None:
        """Do it; what is refused is said in the place. Returns what it returned, None if not."""
        try:
            found = act(*args, **kwargs)
        except (KeepingError, RecordError) as error:
            self._messages.show_message("vat", text_of(error))
            return None
        self._messages.clear("vat")
        return found


def why_failed(code: str, running: bool, save: Callable[[FormValues], None]) -> FormSpec:
    """Asks why a make failed, or is abandoned."""
    field = Field("why", "Why", AS_TYPED, hint="the culture was dead")
    which = "desk.why-abandoned" if running else "desk.why-failed"
    return FormSpec(worded(which, code=code), (field,), save, _FAILED)


def is_photo(path: str) -> bool:
    """Whether a file's name says that it is a photo."""
    return path.lower().endswith(dialogs.PHOTO_ENDS)


def _minutes(text: str, *, shorter: bool = False) -> float:
    """A length of time as typed; with `shorter` a minus before it is understood."""
    less = shorter and text.startswith(("-", "−"))
    saved = parse(text.lstrip("-−").strip(), "duration", default_unit="min").stored
    if saved <= 0:
        raise RecordError("desk.no-minutes-typed")
    return -saved if less else saved


def _first_up(timer: Timer) -> tuple[bool, int]:
    return timer.ends_ms is None, timer.ends_ms or timer.started_ms + MINUTE_MS

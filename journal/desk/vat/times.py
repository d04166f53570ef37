"""When each stage of a day began, and when the last one ended: typed where it was otherwise."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.commands import bind
from journal.desk.form.frame import FramedDialog
from journal.desk.form.rows import FieldRows
from journal.desk.form.spec import AS_TYPED, Field
from journal.desk.labels import Label
from journal.desk.scrollbars import scrolled
from journal.desk.theme import STEP
from journal.keeping import Journal, KeepingError
from journal.records import RecordError, id_of
from journal.records.instants import DAY_MS, at_clock
from journal.records.whole import WholeMake
from journal.wording import text_of, worded
from journal.wording.dates import clock_to_type

_ENDED = "ended"
_MOST_MS = 60 * DAY_MS  # how far a dated time may lie from what stood there
_ABOUT = (
    "A stage ends when the next one begins, and the make began with its first. A time without a "
    "date is the one nearest to what stands there; write 2026-11-25 07:10 for another day."
)


class StageTimes(FramedDialog):
    """A line for each stage that has begun; `stage` (its position) has the focus."""

    help_topic = "vat/Stages"

    def __init__(
        self,
        journal: Journal,
        whole: WholeMake,
        now: Callable[[], int],
        parent: QWidget,
        stage: int | None = None,
    ) -> None:
        super().__init__(worded("desk.times-of-stages", code=whole.make.code), parent)
        self._journal, self._make, self._now = journal, whole.make, now
        labels = [one.label for one in whole.plan.stages]
        begun = [run for run in whole.runs if run.began_ms is not None]
        zone = whole.make.zone
        self._at_ms = {str(run.position): run.began_ms or 0 for run in begun}
        names = [worded("desk.stage-began", stage=labels[run.position]) for run in begun]
        fields = [Field(str(run.position), name, AS_TYPED)
                  for run, name in zip(begun, names, strict=True)]  # fmt: skip
        if begun and begun[-1].ended_ms is not None:
            self._at_ms[_ENDED] = begun[-1].ended_ms
            name = worded("desk.stage-ended", stage=labels[begun[-1].position])
            fields.append(Field(_ENDED, name, AS_TYPED))
        self._before = {key: clock_to_type(at_ms, zone) for key, at_ms in self._at_ms.items()}
        why = Field("why", "Why", AS_TYPED, hint="optional")
        self.rows = FieldRows([*fields, why], self)
        self.rows.put(self._before)
        self._save = Button("Save", MAIN, "main")
        bind("main", self, self._on_save)
        self._save.clicked.connect(self._on_save)
        leave = Button("Cancel", key="Esc")
        leave.clicked.connect(self.reject)
        self.arrange(scrolled(self.rows), Label(_ABOUT, role="quiet", wrap=True),
                     acts=(self._save, leave))  # fmt: skip
        self.resize(150 * STEP, min(72 * STEP + 11 * STEP * len(fields), 180 * STEP))
        wanted = str(stage)
        if wanted in self._before:
            self.rows.lines[wanted].setFocus()
            self.rows.lines[wanted].selectAll()

    def _on_save(self) -> None:
        """Save what was typed otherwise than it stood; what cannot be is said."""
        texts = self.rows.texts()
        make = self._make
        try:
            typed = {
                key: self._instant(key, texts.get(key, ""))
                for key, before in self._before.items()
                if texts.get(key, "") != before
            }
            ended = typed.pop(_ENDED, None)
            began = {int(key): at_ms for key, at_ms in typed.items()}
            self._journal.day.set_times(id_of(make), began, ended, texts.get("why", ""))
        except (RecordError, KeepingError) as error:
            self.refuse(text_of(error))
            return
        self.accept()

    def _instant(self, key: str, text: str) -> int:
        """A time as typed: without a date the one nearest to what stood there."""
        before, room_ms = self._at_ms[key], _MOST_MS if "-" in text else DAY_MS // 2
        return at_clock(text, self._make.zone, before - room_ms, min(self._now(), before + room_ms))

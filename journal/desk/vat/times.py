"""When each stage of a day began, and when the last one ended: typed where it was otherwise."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.form.rows import FieldRows
from journal.desk.form.spec import AS_TYPED, Field
from journal.desk.labels import Label
from journal.desk.scrollbars import scrolled
from journal.desk.theme import STEP
from journal.keeping import Journal, KeepingError
from journal.records import RecordError, id_of
from journal.records.instants import at_clock, typed_clock
from journal.records.whole import WholeMake
from journal.wording import text_of

_ENDED = "ended"
_ABOUT = (
    "A stage ends when the next one begins. Times are those of the make’s day; a time of another "
    "day is typed with its date, like 2026-11-25 07:10."
)


class StageTimes(FramedDialog):
    """A line for each stage that has begun; `stage` (its position) has the focus."""

    def __init__(
        self,
        journal: Journal,
        whole: WholeMake,
        now: Callable[[], int],
        parent: QWidget,
        stage: int | None = None,
    ) -> None:
        super().__init__(f"Times of the stages of {whole.make.code}", parent)
        self._journal, self._make, self._now = journal, whole.make, now
        labels = [one.label for one in whole.plan.stages]
        begun = [run for run in whole.runs if run.began_ms is not None]
        zone = whole.make.zone
        self._stood = {str(r.position): typed_clock(r.began_ms or 0, zone) for r in begun[1:]}
        fields = [
            Field(str(run.position), f"{labels[run.position].capitalize()} began", AS_TYPED)
            for run in begun[1:]
        ]
        if begun and begun[-1].ended_ms is not None:
            self._stood[_ENDED] = typed_clock(begun[-1].ended_ms, zone)
            fields.append(
                Field(_ENDED, f"{labels[begun[-1].position].capitalize()} ended", AS_TYPED)
            )
        why = Field("why", "Why", AS_TYPED, hint="optional")
        self.rows = FieldRows([*fields, why], self)
        self.rows.put(self._stood)
        self._save = Button("Save", MAIN, "Ctrl ⏎")
        self._save.setShortcut("Ctrl+Return")
        self._save.clicked.connect(self._on_save)
        leave = Button("Cancel", key="Esc")
        leave.clicked.connect(self.reject)
        first = f"{labels[begun[0].position].capitalize()} began with the make." if begun else ""
        self.arrange(
            scrolled(self.rows), Label(f"{first} {_ABOUT}".strip(), role="quiet", wrap=True),
            acts=(self._save, leave),
        )  # fmt: skip
        self.resize(150 * STEP, min(40 * STEP + 11 * STEP * len(fields), 170 * STEP))
        wanted = str(stage)
        if wanted in self._stood:
            self.rows.lines[wanted].setFocus()
            self.rows.lines[wanted].selectAll()

    def _on_save(self) -> None:
        """Save what was typed otherwise than it stood; what cannot be is said."""
        texts = self.rows.texts()
        make = self._make
        try:
            typed = {
                key: at_clock(texts.get(key, ""), make.zone, make.started_ms, self._now())
                for key, stood in self._stood.items()
                if texts.get(key, "") != stood
            }
            ended = typed.pop(_ENDED, None)
            began = {int(key): at_ms for key, at_ms in typed.items()}
            self._journal.day.set_times(id_of(make), began, ended, texts.get("why", ""))
        except (RecordError, KeepingError) as error:
            self.refuse(text_of(error))
            return
        self.accept()

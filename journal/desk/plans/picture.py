"""The right page of the plans: the planned day, how to read it, the caution and the source."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.buttons import WordButton
from journal.desk.labels import Hairline, Label, WarningMark
from journal.desk.late import OnDemand
from journal.desk.layouts import in_column, in_row
from journal.desk.plans.chart import PlanChart, PlanScene
from journal.desk.plans.months import CareChart, CareScene, care_scene
from journal.desk.theme import SMALL, STEP
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.keys import key_of
from journal.wording.plan_sheet import hands_words, rest_words, vat_minutes
from journal.wording.shown import write

_LOW_WHOLE = 155 * STEP  # px; the same where the months are shown too
_LOW = 110 * STEP  # px; under this height the chart and the caution need all of it


class PlanPicture(QWidget):
    """Shows a PlanScene with its words. `whole_asked` says how much of it is wanted."""

    whole_asked = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chart = PlanChart()
        self.months = OnDemand(self._made_months)  # the months after the day
        self.vat = WordButton("At the vat", size=SMALL)
        self.whole = WordButton("Whole plan", size=SMALL)
        for button in (self.vat, self.whole):
            button.setCheckable(True)
            button.setAutoExclusive(True)
        self.vat.clicked.connect(self._on_vat)
        self.whole.clicked.connect(self._on_whole)
        self.key = Label(key_of("next"), SMALL, role="quiet")
        self.key.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.reads = Label("", SMALL, role="quiet", wrap=True)
        self.caution = Label("", SMALL, wrap=True)
        self.source = Label("", SMALL, role="quiet", wrap=True)
        self._build()

    def _build(self) -> None:
        views = in_row(
            self.vat, self.whole, (self.key, 1), margins=(4 * STEP, 0, 0, 0), gap=5 * STEP
        )
        words = in_column(
            self.reads,
            STEP,
            Hairline(),
            STEP,
            self._cautioned(),
            self.source,
            margins=(4 * STEP, 0, 0, 0),
            gap=STEP,
        )
        self._months_at = in_column(margins=0)
        column = in_column(
            views,
            (self.chart, 1),
            self._months_at,
            words,
            of=self,
            margins=(4 * STEP, 4 * STEP, 8 * STEP, 3 * STEP),
            gap=STEP,
        )
        column.addStretch(0)

    def _made_months(self) -> CareChart:
        made = CareChart(self)
        self._months_at.addWidget(made)
        return made

    def _cautioned(self) -> QWidget:
        self._caution_box = QWidget()
        in_row(
            (WarningMark(), 0, Qt.AlignmentFlag.AlignTop),
            (self.caution, 1),
            of=self._caution_box,
            margins=0,
            gap=2 * STEP,
        )
        return self._caution_box

    def show_planned(self, planned: PlanScene) -> None:
        """Show this."""
        plan = planned.plan
        self.chart.show()
        self.chart.show_planned(planned)
        self.vat.setChecked(not planned.whole)
        self.whole.setChecked(planned.whole)
        scene = care_scene(plan, planned.start_ms, planned.zone)
        self._show_months(scene if planned.whole else None)
        length = write(plan.minutes, "duration") if scene is None else age_words(scene.last_day)
        self.whole.setText(worded("desk.whole-plan", length=length))
        self.whole.setAccessibleName(self.whole.text())
        self.whole.updateGeometry()
        several = vat_minutes(plan) < plan.minutes - 1 or scene is not None
        for part in (self.vat, self.whole, self.key):
            part.setVisible(several)
        rest = "" if planned.whole else rest_words(plan, planned.clock(plan.minutes))
        self.reads.setText("\n".join(w for w in (hands_words(plan, planned.until_min), rest) if w))
        self.caution.setText(plan.caution)
        self._caution_box.setVisible(bool(plan.caution))
        self.source.setText(
            f"{worded('desk.source-is', source=plan.source)}." if plan.source else plan.note
        )
        self._make_room(self.height())

    def show_nothing(self) -> None:
        """There is no stage to draw yet."""
        self.chart.show_planned(None)
        self.chart.hide()
        self._show_months(None)
        for part in (self.vat, self.whole, self.key, self._caution_box, self.source):
            part.hide()
        self.reads.setText("The chart appears once you type the first stage.")

    def _show_months(self, scene: CareScene | None) -> None:
        months = self.months.part if scene is None else self.months.made()
        if months is not None:
            months.show_scene(scene)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room(event.size().height())

    def _make_room(self, height: int) -> None:
        """In a low window the caution stays whole; the other words give way."""
        months = self.months.part
        with_months = months is not None and months.isVisibleTo(self)
        least = _LOW_WHOLE if with_months else _LOW
        self.source.setVisible(height >= least and bool(self.source.text()))
        self.reads.setVisible(height >= least)

    def _on_vat(self) -> None:
        self.vat.setChecked(True)
        self.whole_asked.emit(False)

    def _on_whole(self) -> None:
        self.whole.setChecked(True)
        self.whole_asked.emit(True)

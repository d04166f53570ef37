"""The page on which a series is set up: the plan, what is varied, how many makes and seasons."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.form.choice import ask_menu
from journal.desk.form.fields import Fields
from journal.desk.form.frame import FormPart, arrange_page
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.spec import NUMBER, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import in_row
from journal.desk.theme import SMALL, STEP, TITLE
from journal.findings import FindingError
from journal.findings.series import LEAST, MOST, MOST_MIDDLE
from journal.findings.series_plans import SeriesOffer, ends
from journal.records.plans import Plan
from journal.reports.series_plan import SeriesRequest, check_count
from journal.wording import text_of, worded
from journal.wording.keys import key_words
from journal.wording.languages import translated
from journal.wording.sentences import word_of
from journal.wording.variable_values import (
    change_shown,
    digits_shown,
    in_unit_shown,
    in_unit_stored,
    label_shown,
)

NOBODY = "no other"
_MOST = 6  # variables
_STYLE = FieldStyle(SMALL, height=9 * STEP, inset=2 * STEP)
_ENDS = (Field("low", "low", NUMBER), Field("high", "high", NUMBER))
_COUNTS = (
    Field("makes", "makes", NUMBER, text="8", name="Number of makes"),
    Field("middle", "in the middle", NUMBER, text="0", name="Makes in the middle"),
    Field("seasons", "seasons of milk", NUMBER, text="1", name="Seasons of milk"),
)


class VaryRow(QWidget):
    """One variable with its low and its high value. `changed` comes at each change."""

    changed = Signal()

    def __init__(self, number: int, *, may_be_none: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.number, self.may_be_none = number, may_be_none
        self.offer: SeriesOffer | None = None
        self._plan: Plan | None = None
        self._offers: Sequence[SeriesOffer] = ()
        self.choose = Button("", PLAIN)
        fields = Fields(_ENDS, FieldContext(self, style=_STYLE), self)
        self.low, self.high = fields.numbers.values()
        self.bounds = Label("", SMALL, role="quiet", wrap=True)
        for field in (self.low, self.high):
            field.setFixedWidth(30 * STEP)
            field.edited.connect(self.changed)
        self.choose.clicked.connect(self.offer_menu)
        self.choose.setFixedWidth(44 * STEP)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(3 * STEP)
        grid.setVerticalSpacing(STEP)
        grid.addWidget(self.choose, 0, 0, Qt.AlignmentFlag.AlignBottom)
        grid.addWidget(self.low, 0, 1)
        grid.addWidget(self.high, 0, 2)
        grid.addWidget(self.bounds, 0, 3, Qt.AlignmentFlag.AlignBottom)
        grid.setColumnStretch(3, 1)

    def take(self, plan: Plan, offers: Sequence[SeriesOffer], offer: SeriesOffer | None) -> None:
        """Vary an offer of a plan, from values to begin with; None varies nothing."""
        self._plan, self._offers, self.offer = plan, offers, offer
        name = offer.name if offer is not None else NOBODY
        self.choose.setText(name)
        self.choose.setAccessibleName(word_of("desk.variable-", str(self.number), name=name))
        self.choose.setAccessibleDescription(
            translated("Opens the list of variables the plan sets.")
        )
        for field in (self.low, self.high):
            field.setVisible(offer is not None)
        self.bounds.setVisible(offer is not None)
        if offer is None:
            return
        unit = label_shown(offer.unit)
        for field, which in ((self.low, "Low"), (self.high, "High")):
            words = worded("desk.series-end-of", which=which, name=offer.name)
            field.call(words, unit)
            field.unit.setVisible(unit == offer.unit or "gal" not in unit)  # for that is no room
            field.bound(
                in_unit_shown(offer.least, offer.unit),
                in_unit_shown(offer.most, offer.unit),
                change_shown(offer.step, offer.unit),
                digits_shown(offer.digits, offer.unit),
            )
        own, least, most = (
            round(value, offer.digits) for value in (offer.own, offer.least, offer.most)
        )
        self.bounds.setText(
            worded("desk.series-planned", own=own, unit=offer.unit, least=least, most=most)
        )
        try:
            low, high = ends(plan, offer)
        except FindingError as error:
            self.bounds.setText(text_of(error))
            low = high = round(offer.own, offer.digits)
        self.low.set_value(in_unit_shown(low, offer.unit))
        self.high.set_value(in_unit_shown(high, offer.unit))

    def asked(self) -> tuple[SeriesOffer, float, float] | None:
        """The variable between its values, None where nothing is varied; FindingError where a
        value is none."""
        if self.offer is None:
            return None
        low, high = self._ends(self.offer)
        if low is None or high is None:
            raise FindingError("desk.series-ends-wanted", name=self.offer.name)
        self.offer.factor(low, high)
        return self.offer, low, high

    def _ends(self, offer: SeriesOffer) -> list[float | None]:
        """What is typed, in the stored unit, with the decimals that count in the vat."""
        return [None if typed is None else round(in_unit_stored(typed, offer.unit), offer.digits)
                for typed in (self.low.value(), self.high.value())]  # fmt: skip

    def mark(self) -> None:
        """Frame the values that lie outside the bounds, or the wrong way round."""
        offer = self.offer
        if offer is None:
            return
        low, high = self._ends(offer)
        for field, value in ((self.low, low), (self.high, high)):
            outside = value is None or not offer.least - 1e-9 <= value <= offer.most + 1e-9
            turned = low is not None and high is not None and low >= high
            field.box.mark(outside or turned)

    def offer_menu(self) -> None:
        """Offer the variables the plan settles."""
        options = [(offer.key, offer.name) for offer in sorted(self._offers, key=_called)]
        if self.may_be_none:
            options.append(("", NOBODY))
        key = self.offer.key if self.offer is not None else ""
        ask_menu(self.choose, "Variables the plan sets", options, key, self._on_chosen)

    def _on_chosen(self, key: str) -> None:
        if self._plan is not None:
            found = next((offer for offer in self._offers if offer.key == key), None)
            self.take(self._plan, self._offers, found)
            self.changed.emit()


class SeriesForm(QWidget):
    """Asks for a series. `changed` comes when it has become another one."""

    changed = Signal()
    plan_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.plan: Plan | None = None
        self._plans: list[Plan] = []
        self.rows = tuple(VaryRow(number, may_be_none=number > 2) for number in range(1, _MOST + 1))
        self.choose_plan = Button("", PLAIN)
        fields = Fields(_COUNTS, FieldContext(self, style=_STYLE), self)
        self.makes, self.middle, self.seasons = fields.numbers.values()
        self.message = Label("", wrap=True, role="attention")
        self.set_up_button = Button("Set it up", MAIN, "main")
        self.back = Button("Back to the findings", FAINT, "Esc")
        self._build()
        self.choose_plan.clicked.connect(self._offer_plans)
        self.makes.bound(LEAST, MOST, 1, 0)
        self.seasons.bound(1, MOST // 2, 1, 0)
        self.middle.bound(0, MOST_MIDDLE, 1, 0)
        for field in (self.makes, self.middle, self.seasons):
            field.edited.connect(self.changed)
        for row in self.rows:
            row.changed.connect(self._on_row)

    def _build(self) -> None:
        plan = in_row(Label("From the plan", role="quiet"), self.choose_plan, None, gap=3 * STEP)
        counts = QHBoxLayout()
        counts.setSpacing(3 * STEP)
        for field in (self.makes, self.middle, self.seasons):
            field.setFixedWidth(26 * STEP)
            counts.addWidget(field)
        hint = Label("A season ends where the milk changes: spring grass, winter hay.", SMALL,
                     role="quiet", wrap=True)  # fmt: skip
        counts.addWidget(hint, 1, Qt.AlignmentFlag.AlignBottom)
        about = Label(
            "Two to six variables are changed on purpose, in a balanced order, so that each "
            "effect can be seen apart from the others.",
            role="quiet",
            wrap=True,
        )
        title = Label("A series of makes", TITLE, bold=True)
        parts: list[FormPart] = [title, about, plan, *self.rows, counts]
        arrange_page(self, parts, self.message, (self.set_up_button, self.back), gap=2 * STEP)
        self.setFocusProxy(self.rows[0].low)

    def show_plans(self, plans: list[Plan]) -> None:
        """The plans there are to choose from."""
        self._plans = plans

    def take(
        self, plan: Plan, offers: Sequence[SeriesOffer], begin: Callable[[SeriesOffer], bool]
    ) -> None:
        """Begin with a plan; the first two of the offers for which `begin` holds are varied."""
        self.plan = plan
        self.choose_plan.setText(plan.name)
        self.choose_plan.setAccessibleName(worded("desk.plan-is", name=plan.name))
        first = [offer for offer in offers if begin(offer)][:2]
        for row, offer in zip(self.rows, [*first, *[None] * len(self.rows)], strict=False):
            row.take(plan, offers, offer)
        self._show_rows()

    def asked(self, seed: int) -> SeriesRequest:
        """What is asked for; FindingError with what is wrong."""
        if self.plan is None:
            raise FindingError("desk.series-needs-plan")
        for row in self.rows:
            row.mark()
        varied = tuple(one for one in (row.asked() for row in self.rows) if one is not None)
        if len(varied) < 2:
            raise FindingError("desk.two-variables-needed")
        makes, seasons, middle = check_count(
            self.makes.value(), self.seasons.value(), self.middle.value()
        )
        return SeriesRequest(self.plan, varied, makes, seasons, seed, middle)

    def tell(self, sentence: str) -> None:
        """Say what is wrong, or that nothing is."""
        self.message.setText(f"▲ {sentence}" if sentence else "")
        self.message.setVisible(bool(sentence))
        self.set_up_button.setEnabled(not sentence)
        self.set_up_button.setAccessibleDescription(
            sentence or worded("desk.key-is", key=key_words("main"))
        )

    def _on_row(self) -> None:
        self._show_rows()
        self.changed.emit()

    def _show_rows(self) -> None:
        """The variables there are, and one row to take another."""
        last = max((i for i, row in enumerate(self.rows) if row.offer is not None), default=0)
        for i, row in enumerate(self.rows):
            row.setVisible(i <= last + 1)

    def _offer_plans(self) -> None:
        options = [(plan.name, plan.name) for plan in self._plans]
        chosen = self.plan.name if self.plan is not None else ""
        ask_menu(self.choose_plan, "Plans", options, chosen, self._on_plan)

    def _on_plan(self, name: str) -> None:
        self.plan_chosen.emit(next(plan for plan in self._plans if plan.name == name))


def _called(offer: SeriesOffer) -> str:
    return offer.name

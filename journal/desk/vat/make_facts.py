"""What a make was begun with, put right where it is seen: its milk, and the plan that was meant."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.commands import bind
from journal.desk.form.frame import FramedDialog
from journal.desk.form.rows import FieldRows
from journal.desk.form.spec import AS_TYPED, CHOICE, Field
from journal.desk.labels import Label
from journal.desk.stock.ingredients import plans_known
from journal.desk.theme import STEP
from journal.keeping import Journal
from journal.message import MessageError
from journal.quantities.typed import parse
from journal.records import id_of
from journal.records.whole import WholeMake
from journal.wording import text_of, worded
from journal.wording.shown import shown_unit, write

_ABOUT = (
    "Readings, notes and wheels stay as they are, and so do the ingredients used. Another amount "
    "of milk changes what the plan still adds; another plan counts your stages as its own of the "
    "same kind. Undo takes either back."
)


class MakeFacts(FramedDialog):
    """The milk and the plan of a make; `first` has the focus."""

    help_topic = "vat/Stages"

    def __init__(
        self, journal: Journal, whole: WholeMake, parent: QWidget, first: str = "milk"
    ) -> None:
        super().__init__(worded("desk.correct-make", code=whole.make.code), parent)
        self._journal, self._make = journal, whole.make
        self._plans = plans_known(journal)
        here = whole.plan.name
        names = dict.fromkeys([here, *(plan.name for plan in self._plans)])
        self._before = {"milk": write(whole.make.milk.litres, "volume"), "plan": here}
        fields = (
            Field("milk", "Milk", AS_TYPED),
            Field("plan", "Plan", CHOICE, options=[(name, name) for name in names]),
        )
        self.rows = FieldRows(fields, self)
        self.rows.put(self._before)
        self.save = Button("Save", MAIN, "main")
        bind("main", self, self.submit)
        self.save.clicked.connect(self.submit)
        leave = Button("Cancel", key="Esc")
        leave.clicked.connect(self.reject)
        self.arrange(self.rows, Label(_ABOUT, role="quiet", wrap=True), acts=(self.save, leave))
        self.resize(150 * STEP, 92 * STEP)
        self.rows.fields.made[first].begin()

    def submit(self) -> None:
        """Save what is otherwise than it stood; what cannot be is said."""
        texts, key = self.rows.texts(), id_of(self._make)
        milk, plan = texts.get("milk", ""), texts.get("plan", "")
        litres, chosen = self._make.milk.litres, None
        try:
            if milk != self._before["milk"]:
                unit = shown_unit("volume").key
                litres = parse(milk, "volume", default_unit=unit).stored
            if plan and plan != self._before["plan"]:
                chosen = next(one for one in self._plans if one.name == plan)
            self._journal.corrections.correct(key, litres, chosen)
        except MessageError as error:
            self.refuse(text_of(error))
            return
        self.accept()

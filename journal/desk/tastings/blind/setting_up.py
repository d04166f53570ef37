"""Setting up a session: what is on the board, who tastes, the sheet, the codes."""

from __future__ import annotations

from journal.desk.form.chips import ChipEntry
from journal.desk.form.page import FormPage
from journal.desk.form.spec import AS_TYPED, CHIPS, ROW, Field
from journal.desk.form.suggest import LookUp
from journal.keeping.session_rows import SampleIdentity
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import BY_ASSESSOR, BY_SAMPLE, SHUFFLED

CODES = (
    (BY_SAMPLE, "one per sample"),
    (BY_ASSESSOR, "one per assessor"),
    (SHUFFLED, "shuffled"),
)
CODE_WORDS = {
    BY_SAMPLE: "A sample has one code, the same for everyone.",
    BY_ASSESSOR: "Each assessor has their own codes, so nobody can compare aloud.",
    SHUFFLED: (
        "For tasting alone: stick each code under its cup, let a helper shuffle the cups "
        "while you look away, taste them in order, and read the codes at the end."
    ),
}


class SessionForm(FormPage):
    """The page. It only shows and asks."""

    def __init__(self, cheeses: LookUp, people: LookUp, attributes: LookUp) -> None:
        fields = (
            Field("board", "Samples", CHIPS, hint="a wheel, or a name", look=cheeses, twice=True,
                  of=SampleIdentity),
            Field("people", "Assessors", CHIPS, hint="a name", look=people),
            Field("sheet", "Attributes", CHIPS, hint="an attribute", look=attributes),
            Field("codes", "Codes", ROW, options=CODES, says=CODE_WORDS),
            Field("day", "Day", AS_TYPED, hint="today", name="Day of the session"),
        )  # fmt: skip
        super().__init__("New session", fields, first="board", away="All sessions")
        chips = self.fields.chips
        self.board, self.people, self.sheet = chips["board"], chips["people"], chips["sheet"]
        self.codes, self.day = self.fields.rows["codes"], self.fields.lines["day"]
        self.clear()

    def clear(self) -> None:
        """An empty board; the sheet as usual."""
        super().clear()
        self.sheet.show_entries([ChipEntry(name, name) for name in ATTRIBUTES])

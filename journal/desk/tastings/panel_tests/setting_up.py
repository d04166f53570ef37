"""Setting up a panel test: which, of what, with whom."""

from __future__ import annotations

from journal.desk.form.page import FormPage
from journal.desk.form.spec import AS_TYPED, CHIPS, ROW, Field
from journal.desk.form.suggest import LookUp
from journal.desk.labels import Hairline
from journal.keeping.session_rows import SampleIdentity
from journal.records.panel_tests import PAIRED, RANKING
from journal.wording.panel_tests import meanings, short_kinds

EITHER, FIRST, SECOND = "either", "first", "second"
_MORE = ((EITHER, "either may be"), (FIRST, "the first is"), (SECOND, "the second is"))
_TIMES = tuple((str(n), str(n)) for n in (1, 2, 3, 4, 6))


class PanelTestForm(FormPage):
    """The page. It only shows and asks."""

    def __init__(self, cheeses: LookUp, people: LookUp) -> None:
        fields = (
            Field("kind", "", ROW, options=short_kinds(), says=meanings(), name="Which test"),
            Field("cheeses", "Of what", CHIPS, hint="a wheel, or a name", look=cheeses,
                  of=SampleIdentity),
            Field("asked for", "For what", AS_TYPED, hint="bitter, salt, …",
                  only_where=("kind", (PAIRED, RANKING))),
            Field("foreseen", "More of it", ROW, options=_MORE, name="Expected",
                  only_where=("kind", (PAIRED,))),
            Field("people", "Assessors", CHIPS, hint="a name", look=people),
            Field("times", "Times each", ROW, options=_TIMES),
        )  # fmt: skip
        super().__init__("New test", fields, first="cheeses", away="All tests")
        self.column.insertWidget(2, Hairline())  # under the kind
        self.cheeses, self.people = self.fields.chips["cheeses"], self.fields.chips["people"]
        self.asked_for = self.fields.lines["asked for"]
        rows = self.fields.rows
        self.kind, self.foreseen, self.times = rows["kind"], rows["foreseen"], rows["times"]

    def expected(self) -> int | None:
        """The number of the cheese foreseen to have more."""
        if self.kind.chosen() != PAIRED:
            return None
        return {EITHER: None, FIRST: 0, SECOND: 1}[self.foreseen.chosen()]

    def answers(self) -> int:
        """How many answers it will have."""
        return len(self.people.entries()) * int(self.times.chosen())

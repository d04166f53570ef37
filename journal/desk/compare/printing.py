"""The comparison on paper: what was different, the ribbons, and the curves that are open."""

from __future__ import annotations

from functools import partial

from journal.desk.compare.chart import CurvesChart
from journal.desk.compare.ribbons import RibbonsView
from journal.desk.place import Place
from journal.reports.compared_words import CompareHead
from journal.reports.comparison import Compared
from journal.wording import worded

_SUBJECT = "compare"


def print_comparison(
    place: Place, head: CompareHead, compared: Compared, ribbons: RibbonsView, chart: CurvesChart
) -> None:
    """Show it, to be printed or saved."""
    from journal.desk.compare.document import comparison_document
    from journal.desk.printing import Printout, PrintPreview

    code = compared.mine.row.code

    what = Printout(
        worded("desk.compared-with-others", code=code), worded("desk.comparison-file", code=code),
        partial(comparison_document, head, compared, ribbons, chart),
    )  # fmt: skip
    saved = partial(worded, "desk.comparison-saved", code=code)
    PrintPreview(what, saved, partial(place.say, _SUBJECT), place).open()

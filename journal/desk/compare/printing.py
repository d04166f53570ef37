"""The comparison on paper: what was different, the ribbons, and the curves that are open."""

from __future__ import annotations

from pathlib import Path

from journal.desk.compare.chart import CurvesChart
from journal.desk.compare.ribbons import RibbonsView
from journal.desk.place import Place
from journal.reports.compared_words import CompareHead
from journal.reports.comparison import Compared
from journal.wording.counts import counted

_SUBJECT = "compare"


def print_comparison(
    place: Place, head: CompareHead, compared: Compared, ribbons: RibbonsView, chart: CurvesChart
) -> None:
    """Show it, to be printed or saved."""
    from journal.desk.compare.document import comparison_document
    from journal.desk.printing import Printout, PrintPreview

    code = compared.mine.row.code

    def write(where: Path, paper: str) -> int:
        return comparison_document(head, compared, ribbons, chart, where, paper=paper)

    def saved(where: Path, pages: int) -> str:
        return f"The comparison of {code}, {counted(pages, 'page')}, was saved as {where}."

    def report(sentence: str, attention: bool) -> None:
        place.say(_SUBJECT, sentence, attention=attention)

    what = Printout(f"{code} compared with other makes", f"{code} compared.pdf", write)
    PrintPreview(what, saved, report, place).open()

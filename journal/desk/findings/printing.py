"""Printing the findings: a preview first, then what was saved or printed."""

from __future__ import annotations

from functools import partial

from journal.desk.place import Place
from journal.findings.answer import StudyAnswer
from journal.wording import worded

_SUBJECT = "printed"


def print_answer(place: Place, answer: StudyAnswer) -> None:
    """Show the findings, to be printed or saved."""
    from journal.desk.findings.document import document_name, findings_document
    from journal.desk.printing import Printout, PrintPreview

    PrintPreview(
        Printout("Print these findings", document_name(answer), partial(findings_document, answer)),
        partial(worded, "desk.findings-saved"),
        partial(place.say, _SUBJECT),
        place,
    ).open()

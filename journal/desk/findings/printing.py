"""Printing the findings: a preview first, then what was saved or printed."""

from __future__ import annotations

from pathlib import Path

from journal.desk.place import Place
from journal.findings.answer import StudyAnswer
from journal.wording.counts import counted

_SUBJECT = "printed"


def print_answer(place: Place, answer: StudyAnswer) -> None:
    """Show the findings, to be printed or saved."""
    from journal.desk.findings.document import document_name, findings_document
    from journal.desk.printing import Printout, PrintPreview

    def write(where: Path, paper: str) -> int:
        return findings_document(answer, where, paper=paper)

    def saved(where: Path, pages: int) -> str:
        return f"The findings were saved as “{where.name}”, {counted(pages, 'page')}."

    def report(sentence: str, attention: bool) -> None:
        place.say(_SUBJECT, sentence, attention=attention)

    PrintPreview(
        Printout("Print these findings", document_name(answer), write), saved, report, place
    ).open()

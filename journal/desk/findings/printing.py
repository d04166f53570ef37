"""Writing the findings as a PDF: asked where, and said what came of it."""

from __future__ import annotations

from pathlib import Path

from journal.desk import dialogs
from journal.desk.place import Place
from journal.findings.answer import StudyAnswer
from journal.wording.counts import counted

_SAID = "printed"


def print_answer(place: Place, answer: StudyAnswer) -> None:
    """Ask where, and write the findings there."""
    from journal.desk.findings.document import document_name, findings_document
    from journal.desk.sheets import paper_here

    path = dialogs.ask_save(place, "Print these findings", dialogs.PDF, document_name(answer))
    if not path:
        return
    where = Path(path)
    where = where if where.suffix.lower() == ".pdf" else where.with_name(f"{where.name}.pdf")
    try:
        pages = findings_document(answer, where, paper=paper_here())
    except OSError as error:
        place.say(_SAID, f"“{where.name}” cannot be written: {error.strerror or error}.")
        return
    words = f"The findings were saved as “{where.name}”, {counted(pages, 'page')}."
    place.say(_SAID, words, attention=False)

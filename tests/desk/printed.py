"""Every kind of sheet that is printed, written once, and how its letters are read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pypdf import PdfReader
from PySide6.QtGui import QColor, QImage
from PySide6.QtPdf import QPdfDocument

from journal.background import State
from journal.desk.findings import studying
from journal.desk.findings.document import findings_document
from journal.desk.sheets import make_record, make_sheet
from journal.desk.sheets.label_sheet import write_labels
from journal.desk.sheets.photos import PrintedPhoto
from journal.desk.tastings.blind.paper_sheet import key_sheet, tasting_sheets
from journal.desk.tastings.panel_tests.paper import set_sheets
from journal.desk.vat.before_sheet import write_list
from journal.keeping import Journal
from journal.keeping.panel_sets import HiddenSet
from journal.keeping.session_rows import KeyRow, ServingRow
from journal.records.instants import from_iso
from journal.records.kinds import ATTRIBUTES
from journal.records.panel_tests import RANKING
from journal.records.plan_text import builtin_plan
from journal.records.plans import Plan
from journal.reports.label import labels_of
from journal.wording.scale_words import scale_words
from tests import present

ZONE = "Europe/London"
STICKER = (60.0, 40.0)


def own_plan() -> Plan:
    """A plan of thirteen stages of one's own, with all that a stage can say in an amount."""
    plan = builtin_plan("cheddar type")
    return replace(plan, name="hill cheese", source="", version=1)


def pages_of(path: Path) -> list[str]:
    """What each page says, as the reader that comes with Qt finds it: quick, for much text."""
    document = QPdfDocument()
    assert document.load(str(path)) == QPdfDocument.Error.None_
    return [document.getAllText(number).text() for number in range(document.pageCount())]


def type_of(path: Path) -> list[tuple[str, float]]:
    """Every run of letters with its size on the page, points."""
    found: list[tuple[str, float]] = []

    def note(text, cm, tm, _font, size) -> None:
        if text.strip():
            scale = abs(tm[0] * tm[3] - tm[1] * tm[2]) * abs(cm[0] * cm[3] - cm[1] * cm[2])
            found.append((text.strip(), size * scale**0.5))

    for page in PdfReader(path).pages:
        page.extract_text(visitor_text=note)
    return found


def words_of(path: Path) -> str:
    """All words of a sheet, one space between two."""
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)


def write_all(journal: Journal, folder: Path, paper: str) -> dict[str, Path]:
    """Every kind of sheet of a journal, by what it is."""
    out: dict[str, Path] = {}

    def path(name: str) -> Path:
        out[name] = folder / f"{name} {paper}.pdf"
        return out[name]

    starts = from_iso("2026-03-14T10:30", ZONE)
    make_sheet(own_plan(), path("make sheet"), paper=paper, start_ms=starts, zone=ZONE)
    make_sheet(builtin_plan("washed-curd type"), path("make sheet, unbegun"), paper=paper)
    rows = journal.makes.rows()
    running = next(row for row in rows if row.finished_ms is None)
    scored = next(row for row in rows if journal.whole(row.id).scores)
    image = QImage(90, 60, QImage.Format.Format_RGB32)
    image.fill(QColor("#7a4b2a"))
    photos = [PrintedPhoto(image, "the rind at 30 days")]
    make_record(journal.whole(scored.id), path("record"), paper=paper, photos=photos)
    make_record(journal.whole(running.id), path("record, running"), paper=paper)
    labels = labels_of(journal, journal.wheels.where(make_id=scored.id), present.NOW)
    write_labels(labels, path("labels"), paper=paper)
    write_labels(labels, path("sticker"), paper=paper, size_mm=STICKER)
    write_list(["Stove lit", "Moulds boiled"], path("list"), paper=paper)
    study = studying.look_at(journal, "overall", State(lambda *_: None))
    findings_document(study, path("findings"), paper=paper)
    servings = [
        ServingRow(n, n, who, f"Assessor {who}", n, f"{317 + n}", 0)
        for who in (1, 2) for n in range(4)
    ]  # fmt: skip
    words = {name: scale_words(journal, name) for name in ATTRIBUTES}
    tasting_sheets(path("session"), "Session", servings, ATTRIBUTES, words, paper=paper)
    key_sheet(path("key"), "Session", [KeyRow("", "318", "HL-0001-A")], paper=paper)
    sets = [HiddenSet(n, n, "Orla", ("", "412", "733", "218"), ()) for n in range(3)]
    set_sheets(path("sets"), "Ranking", "Rank them.", RANKING, sets, paper=paper)
    return out

"""Labels of wheels: on paper of each size, the QR code read from the picture."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdf
import pytest
import zxingcpp
from PySide6.QtCore import QSize
from PySide6.QtGui import QImage
from PySide6.QtPdf import QPdfDocument

from journal.desk.sheets.label_sheet import write_labels
from journal.desk.sheets.paper import SheetError
from journal.reports.label import WheelLabel

LONG = (
    "a hard cheese in cloth, after the old way of the upper valley, from evening and morning milk"
)
FACTS = ("Made 14 Jul 2026", "Raw cow milk", "Eat from 12 Sep 2026",
         "Best from 10 Jan 2027 to 30 Mar 2027", "1.180 kg on 1 Sep 2026")  # fmt: skip


def labels(count: int) -> list[WheelLabel]:
    return [WheelLabel(f"HL-{n:04}-{'AB'[n % 2]}", "cheddar type", FACTS) for n in range(count)]


def picture(path: Path, page: int, dots_a_mm: float = 8.0) -> np.ndarray:
    document = QPdfDocument()
    document.load(str(path))
    size = document.pagePointSize(page) * (25.4 / 72 * dots_a_mm)
    image = document.render(page, QSize(round(size.width()), round(size.height())))
    white = QImage(image.size(), QImage.Format.Format_Grayscale8)
    white.fill(255)
    from PySide6.QtGui import QPainter

    painter = QPainter(white)
    painter.drawImage(0, 0, image)
    painter.end()
    document.close()
    flat = np.frombuffer(white.constBits(), np.uint8).reshape(white.height(), -1)
    return flat[:, : white.width()].copy()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_sheet_holds_each_label_with_a_code_that_is_read(
    tmp_path: Path, paper: str, qapp
) -> None:
    out, given = tmp_path / "labels.pdf", labels(26)
    written = write_labels(given, out, paper=paper)
    assert written.pages == 2
    assert written.left_out == {}
    read = [
        sorted(one.text for one in zxingcpp.read_barcodes(picture(out, page))) for page in (0, 1)
    ]
    assert read == [[one.code for one in given[:24]], [one.code for one in given[24:]]]
    text = " ".join(pypdf.PdfReader(out).pages[0].extract_text().split())
    assert all(one.code in text for one in given[:24])
    assert text.count("Eat from 12 Sep 2026") == 24


@pytest.mark.parametrize("size", [(60.0, 40.0), (70.0, 37.0), (100.0, 70.0)])
def test_single_labels_of_any_size_say_what_matters_most(tmp_path: Path, size, qapp) -> None:
    out = tmp_path / "one.pdf"
    wheel = WheelLabel("HL-0007-A1", LONG, FACTS, "The acid came too slowly.")
    written = write_labels([wheel, *labels(1)], out, size_mm=size)
    assert written.pages == 2
    page = pypdf.PdfReader(out).pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
        (size[0] / 25.4 * 72, size[1] / 25.4 * 72), abs=1
    )
    text = " ".join(page.extract_text().split())
    gone = written.left_out.get(wheel.code, ())
    for words in (wheel.code, "Do not eat. The acid came too slowly."):
        assert words in text
    assert [words for words in (LONG, *FACTS) if words not in text] == [
        words for words in (LONG, *FACTS) if words in gone
    ]
    assert bool(gone) == (size[0] < 100)
    assert [one.text for one in zxingcpp.read_barcodes(picture(out, 0))] == ["HL-0007-A1"]


def test_a_label_that_is_too_small_is_refused(tmp_path: Path, qapp) -> None:
    for size in ((20.0, 10.0), (31.0, 21.0)):
        with pytest.raises(SheetError):
            write_labels(
                [WheelLabel("HL-0007-A1", LONG, FACTS, LONG)], tmp_path / "x.pdf", size_mm=size
            )
    assert not (tmp_path / "x.pdf").exists()

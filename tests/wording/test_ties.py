"""No amount is torn from its unit where a line ends: on a page, and on paper."""

from __future__ import annotations

from PySide6.QtGui import QFontMetricsF, QTextLayout, QTextOption

from journal.desk.labels import Label
from journal.desk.sheets.paper import Paper
from journal.wording.ties import NO_BREAK, tied

SENTENCE = "A hard wheel · 5 months old · Cellar, meant for 11.6 °C and 86 %, pH 5.2 and 12.5 kg"


def test_amounts_are_tied_and_words_are_not():
    assert tied("at 86 % and 5 months").split(" ") == ["at", f"86{NO_BREAK}%", "and",
                                                       f"5{NO_BREAK}months"]  # fmt: skip
    assert tied("pH 5.2 in 3 hooped wheels") == f"pH{NO_BREAK}5.2 in 3 hooped wheels"
    assert tied("12 made in May") == "12 made in May"


def test_at_no_width_does_a_line_of_a_label_begin_with_a_unit(qtbot):
    label = Label(SENTENCE, wrap=True)
    qtbot.addWidget(label)
    shown = super(Label, label).text()
    assert label.text() == SENTENCE  # what it says is what it was given
    for width in range(120, 620, 7):
        layout = QTextLayout(shown, label.font())
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WordWrap)
        layout.setTextOption(option)
        layout.beginLayout()
        starts = []
        while (line := layout.createLine()).isValid():
            line.setLineWidth(width)
            starts.append(shown[line.textStart() :].lstrip()[:2])
        layout.endLayout()
        assert not {"%", "°C", "kg", "mo", "5."} & {start.strip() for start in starts[1:]}
    assert QFontMetricsF(label.font()).horizontalAdvance("86 %") < 120


def test_at_no_width_does_a_printed_line(qapp):
    paper = Paper("A4", "amounts")
    for width in range(28, 120, 3):
        lines = paper.wrapped(SENTENCE, width, 9.5)
        starts = {line.split(" ")[0].split(NO_BREAK)[0] for line in lines[1:]}
        assert not {"%,", "°C", "kg", "months", "5.2"} & starts

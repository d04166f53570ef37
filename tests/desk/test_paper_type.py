"""The type of everything that is printed, read back from the PDFs: none is under 9 points, figures
to mark 11, and a usual plan keeps to two pages."""

from __future__ import annotations

import pytest

from journal.desk.sheets import PAPERS, make_sheet
from journal.desk.sheets.label_sheet import write_labels
from journal.keeping import Journal
from journal.records.plan_text import builtin_plans
from journal.reports.label import WheelLabel
from tests.desk.printed import own_plan, type_of, words_of, write_all

LEAST, FIGURES = 9.0, 11.0
NEAR = 0.05  # points: a dot of the PDF is a tenth of one
# Plans of so many stages with so much to say that 9 points need a third page.
THREE_PAGES = {("alpine type", "Letter")}


@pytest.mark.parametrize("paper", list(PAPERS))
def test_no_sheet_has_type_under_nine_points(sample: Journal, tmp_path, paper) -> None:
    written = write_all(sample, tmp_path, paper)
    assert len(written) > 10
    for name, path in written.items():
        runs = type_of(path)
        assert len(runs) > 3, name
        assert [run for run in runs if run[1] < LEAST - NEAR] == [], name
    scale = [size for text, size in type_of(written["session"]) if text in map(str, range(11))]
    assert len(scale) >= 11
    assert min(scale) >= FIGURES - NEAR


@pytest.mark.parametrize("paper", list(PAPERS))
def test_a_usual_plan_fits_two_pages(qapp, tmp_path, paper) -> None:
    path, long = tmp_path / "sheet.pdf", set()
    for plan in (*builtin_plans(), own_plan()):
        if make_sheet(plan, path, paper=paper) > 2:
            long.add((plan.name, paper))
    assert long == {one for one in THREE_PAGES if one[1] == paper}


def test_a_small_label_says_less_not_smaller(qapp, tmp_path) -> None:
    facts = ("Made 14 Jul 2026", "Raw cow milk", "Eat from 12 Sep 2026",
             "Best from 10 Jan 2027 to 30 Mar 2027", "1.180 kg on 1 Sep")  # fmt: skip
    wheel = WheelLabel("HL-0007-A", "cheddar type", facts, "The acid came too slowly.")
    for size in ((100.0, 70.0), (60.0, 40.0), (50.0, 30.0)):
        path = tmp_path / "label.pdf"
        left = write_labels([wheel], path, size_mm=size).left_out.get(wheel.code, ())
        assert min(size for _, size in type_of(path)) >= LEAST - NEAR
        says = words_of(path)
        shown = (wheel.plan, *facts)
        assert [one for one in shown if one not in says] == [one for one in shown if one in left]
        assert wheel.code in says
        assert f"Do not eat. {wheel.not_to_eat}" in says
        assert bool(left) == (size[0] < 70)

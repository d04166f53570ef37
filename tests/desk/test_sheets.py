"""The make sheet and the record as PDF: opened again, measured, and rendered."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from PySide6.QtGui import QImage

from journal.desk.sheets import PAPERS, SheetError, make_record, make_sheet, record
from journal.desk.sheets.flow import Block, best_pages, paginate
from journal.desk.sheets.paper import MARGIN, Paper
from journal.desk.sheets.table import PAD
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Milk
from journal.records.plan_scaled import for_milk
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from journal.wording import text_of as sentence_of
from journal.wording.hours import Stretch, hours_for
from journal.wording.kitchen import kitchen
from journal.wording.paper_record import reading_rows, stage_cells, wheel_rows
from tests.desk.printed import pages_of

# ISO 216 and ANSI/ASME Y14.1: 210 x 297 mm, 8.5 x 11 in; in points of 1/72 in.
SIZES = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}
NAMES = [plan.name for plan in builtin_plans()]
LONDON = "Europe/London"


def bare(text: str) -> str:
    """A text without its spaces, as lines break anywhere."""
    return "".join(text.split())


def text_of(path: Path) -> str:
    return bare("\n".join(pages_of(path)))


def says(path: Path, *parts: str) -> str:
    """The text without spaces, once all of these were found in it."""
    text = text_of(path)
    assert not [part for part in parts if bare(part) not in text]
    return text


def long_plan() -> Plan:
    """Fourteen stages over several days, each with much to say."""
    words = (
        "Stir slowly from below, lift what lies there, and wait until nothing sticks to the hand "
        "any more."
    )
    doses = tuple(Dose("other", f"something with a long name, number {i}", 0.3, "g", "with care")
                  for i in range(2))  # fmt: skip
    kinds = ("warm", "ripen", "set", "cut", "heal", "stir", "wash", "cook", "pitch", "drain",
             "cheddar", "mill", "press", "dry")  # fmt: skip
    stages = tuple(
        Stage(kind, 60.0 if i < 12 else 2880.0, target_c=30.0 + i if i < 12 else None,
              instruction=words, until="it is as it should be", turns=i,
              doses=doses if i in (1, 2) else (), acid_target=AcidTarget("curd-ph", 5.2, 5.4))
        for i, kind in enumerate(kinds)
    )  # fmt: skip
    return Plan("Fourteen stages", stages, caution="Take care. " * 30, note="A note. " * 9,
                care=(CareRule("turn", 1, 90, 1),), floc_multiplier=3.0)  # fmt: skip


# The make sheet


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_says_everything_of_its_plan_on_few_pages(tmp_path, name, paper) -> None:
    plan, path = builtin_plan(name), tmp_path / "sheet.pdf"
    pages = make_sheet(plan, path, paper=paper)
    read = PdfReader(path)
    assert len(read.pages) == pages <= 3
    for page in read.pages:
        size = (float(page.mediabox.width), float(page.mediabox.height))
        assert size == pytest.approx(SIZES[paper], abs=1.0)
        _check_no_stage_alone(plan, page.extract_text())
    assert read.metadata is not None
    assert read.metadata.title == f"Make sheet: {plan.name}, version {plan.version}"
    output = [plan.caution, plan.source, f"version {plan.version}", f"page 1 of {pages}"]
    for number, stage in enumerate(plan.stages, 1):
        output += [f"{number} {stage.label}", stage.instruction]
        output.append(f"Until {stage.until[:1].lower()}{stage.until[1:]}")
        output += [dose.note for dose in stage.doses]
        output += [f"{stage.target_c:.1f}"] if stage.target_c is not None else []
    for _stage, dose, _amount in plan.amounts():
        output.append(f"{dose.name[:1].upper()}{dose.name[1:]}")
    says(path, *output)


def _check_no_stage_alone(plan: Plan, page: str) -> None:
    """No page has one stage only."""
    titles = [f"{n} {stage.label}".split()[:2] for n, stage in enumerate(plan.stages, 1)]
    lines = [line.split() for line in page.splitlines()]
    on_it = sum(any(line[:2] == title for line in lines) for title in titles)
    assert on_it != 1, plan.name


def test_amounts_follow_the_milk_with_their_kitchen_measure(tmp_path) -> None:
    path = tmp_path / "sheet.pdf"
    make_sheet(for_milk(builtin_plan("cheddar type"), 24.0), path)
    # 0.1957 ml and 2.575 g for each litre; fine salt weighs 1.2 g/ml in a spoon
    # (common practice, no source).
    says(path, "24 L", "Single-strength rennet 4.7 ml (about 1 tsp)",
         f"Salt without iodine 61.8 g ({kitchen(61.8 / 1.2)} of fine salt)",
         "Press with 9.0 kg on each mould of 150 mm (5.0 kPa)")  # fmt: skip


def test_a_start_puts_every_stage_on_the_clock(tmp_path) -> None:
    plan, path = builtin_plan("cheddar type"), tmp_path / "sheet.pdf"
    make_sheet(plan, path, start_ms=from_iso("2026-03-14T10:30", LONDON), zone=LONDON)
    says(path, "begins Saturday 14 March 2026 at 10:30", "ends on Sunday 15 March at 08:50",
         "12:00", "Milk pH 6.55 to 6.65, from 11:45 on", "17:50", "18:50")  # fmt: skip
    make_sheet(plan, path)
    says(path, "from start", "Milk pH 6.55 to 6.65, from 1:15 on", "8:20")


def test_a_clock_that_is_put_forward_is_kept_to(tmp_path) -> None:
    # Summer time in London begins on 29 March 2026 at 01:00 UTC: 00:30 and two hours are 03:30.
    plan = Plan("night", (Stage("ripen", 120), Stage("set", 40)))
    path = tmp_path / "sheet.pdf"
    make_sheet(plan, path, start_ms=from_iso("2026-03-29T00:30", LONDON), zone=LONDON)
    says(path, "2 set", "03:30", "04:10")


def test_there_is_room_for_the_pencil_and_what_to_check(tmp_path) -> None:
    path = tmp_path / "sheet.pdf"
    make_sheet(builtin_plan("cheddar type"), path)
    says(path, "Before you start", "sanitised", "Thermometer in melting ice",
         "pH meter in buffer 7", "allergies", "lot, use by", "who", "date", "time", "notes",
         "Green weight of each wheel",
         "First flecks after ____ min, × 2.5", "The planned curve", "Afterwards")  # fmt: skip
    blue = builtin_plan("blue type")
    titrated = tuple(
        replace(stage, acid_target=None)
        if stage.acid_target and stage.acid_target.kind.endswith("ph")
        else stage
        for stage in blue.stages
    )
    make_sheet(replace(blue, stages=titrated), path)
    says(path, "Titration: solution fresh", "By titration: 3 set: milk acidity 0.21 to 0.25 %")
    assert "buffer7" not in text_of(path)


def test_a_plan_without_a_caution_gets_the_usual_one(tmp_path) -> None:
    plan = Plan("bare", (Stage("set", 40, target_c=31.0),), treatment="raw")
    path = tmp_path / "sheet.pdf"
    assert make_sheet(plan, path) == 1
    says(path, "local codes", "licensed maker", "Raw milk can carry")


@pytest.mark.parametrize("paper", list(PAPERS))
def test_fourteen_long_stages_fit_two_pages(tmp_path, paper) -> None:
    plan, path = long_plan(), tmp_path / "sheet.pdf"
    assert make_sheet(plan, path, paper=paper) == 2
    says(path, *(f"{i} {stage.label}" for i, stage in enumerate(plan.stages, 1)), plan.caution,
         plan.note, "something with a long name, number 1")  # fmt: skip


def test_a_plan_that_says_more_than_two_pages_hold_loses_nothing(tmp_path) -> None:
    plan = long_plan()
    many = replace(plan, stages=plan.stages * 3)
    path = tmp_path / "sheet.pdf"
    pages = make_sheet(many, path)
    assert pages > 2
    says(path, "42 dry", f"page {pages} of {pages}")


def test_words_too_long_for_a_line_go_on_in_the_next(tmp_path) -> None:
    endless = "Rindfleischetikettierung" * 8
    plan = Plan(endless, (Stage("set", 40, name=endless, instruction=endless, until=endless),),
                caution=endless, note=endless, source=endless)  # fmt: skip
    path = tmp_path / "sheet.pdf"
    make_sheet(plan, path)
    assert text_of(path).count(endless) >= 4


def test_another_paper_or_no_folder_is_refused(tmp_path) -> None:
    with pytest.raises(SheetError) as caught:
        make_sheet(builtin_plan("tomme"), tmp_path / "s.pdf", paper="A5")
    assert "A4, Letter" in sentence_of(caught.value)
    with pytest.raises(OSError, match=os.strerror(errno.ENOENT)):
        make_sheet(builtin_plan("tomme"), tmp_path / "none" / "s.pdf")


def test_words_are_found_with_their_spaces(tmp_path) -> None:
    path = tmp_path / "sheet.pdf"
    make_sheet(builtin_plan("cheddar type"), path)
    text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
    assert "Cheddar type\n" in text
    assert "stir before" in text
    assert "\t" not in text


# The record


def test_every_make_of_the_sample_has_its_record(sample: Journal, tmp_path) -> None:
    path = tmp_path / "record.pdf"
    for i, row in enumerate(sample.makes.rows()):
        whole = sample.whole(row.id)
        paper = ("A4", "Letter")[i % 2]
        assert make_record(whole, path, paper=paper) <= 3
        read = PdfReader(path)
        size = (float(read.pages[0].mediabox.width), float(read.pages[0].mediabox.height))
        assert size == pytest.approx(SIZES[paper], abs=1.0)
        stages = [f"{n} {stage.label}" for n, stage in enumerate(whole.plan.stages, 1)]
        notes = [note.text for note in whole.notes]
        used = [item.name for item in whole.additions]
        wheels = [w for wheel in whole.wheels
                  for w in (wheel.code, f"{wheel.green_weight_kg:.3f} kg")]  # fmt: skip
        later = ["Later care and scores", "overall"] if whole.scores else []
        text = says(path, row.code, whole.plan.name, *stages, *notes, *used, *wheels, *later)
        assert ("failed" in text) == row.failed


def test_a_record_says_how_the_day_went(kitchen, tmp_path) -> None:
    journal, make = kitchen.journal, kitchen.make
    for minutes, temp in ((0, 5.0), (10, 14.0), (20, 23.0), (30, 31.0), (40, 31.2)):
        journal.readings.log(make.id, "milk-temp", temp, kitchen.start_ms + minutes * 60_000)
    journal.readings.log(make.id, "curd-ph", 6.61, kitchen.start_ms + 41 * 60_000)
    journal.makes.end_stage(make.id, kitchen.after(42))
    path = tmp_path / "record.pdf"
    make_record(journal.whole(make.id), path)
    # 09:00 and 30 min planned, 42 real: 12 min late.
    says(path, "still running", "1 warm 09:00 09:00 0 30 42 31.0 5.0 to 31.2 curd pH 6.61",
         "2 ripen 09:30 09:42 +12 30", "No wheels yet.", "milk, °C 5 5.0 at 09:00")  # fmt: skip


def test_a_make_without_a_reading_has_a_record(journal: Journal, tmp_path) -> None:
    start = from_iso("2026-03-14T09:00", LONDON)
    make = journal.makes.begin(builtin_plan("lactic"), Milk(10.0), start)
    path = tmp_path / "record.pdf"
    make_record(journal.whole(make.id), path, paper="Letter")
    says(path, "HL-0001", "No readings.", "No temperature was read at the vat.")


def test_years_of_care_stay_a_small_table(journal: Journal, tmp_path) -> None:
    from journal.records.wheels import Care, Weighing

    start = from_iso("2020-03-14T09:00", LONDON)
    make = journal.makes.begin(builtin_plan("tomme"), Milk(10.0), start)
    wheel = journal.makes.finish(make.id, [1.2], start + 86_400_000)[0]
    day = 86_400_000
    journal.cares.save_many([Care(wheel.id, "turn", start + i * 14 * day) for i in range(1, 130)])
    journal.weighings.save(Weighing(wheel.id, start + 1700 * day, 0.81))
    path = tmp_path / "record.pdf"
    assert make_record(journal.whole(make.id), path) <= 3
    says(path, "months 1 to 6", "0.810 kg", "32.5 %")


# How it lies on the page


def test_a_block_that_does_not_fit_goes_overleaf_with_its_head() -> None:
    head = Block(5.0, _draw, keep_with_next=True)
    rows = [Block(30.0, _draw, head=head) for _ in range(4)]
    spare = Block(20.0, _draw, grow=True, spare=True)
    pages = paginate([head, *rows, spare], 10.0, 110.0)
    assert [[p.height for p in page] for page in pages] == [[5, 30, 30, 30], [5, 30, 65]]
    assert pages[1][0].y == 10.0
    assert len(paginate([*rows[:3], spare], 10.0, 110.0)) == 1  # left out, not given a page


def _draw(_y: float, _height: float) -> None:
    """Draw nothing: only the place counts."""


@given(st.text(st.characters(categories=["L", "N", "P", "Z"]), max_size=120), st.floats(3, 60))
def test_wrapped_words_fit_and_none_is_lost(qapp, text: str, width: float) -> None:
    paper = _paper()
    lines = paper.wrapped(text, width, 8.0)
    assert bare("".join(lines)) == bare(text)
    assert all(len(line) == 1 or paper.text_width(line, 8.0) <= width for line in lines)


_made: list[Paper] = []


def _paper() -> Paper:
    if not _made:
        _made.append(Paper("A4", "test"))
    return _made[0]


def test_ticks_fall_on_the_clock_and_stay_apart() -> None:
    start = from_iso("2026-03-14T09:20", LONDON)
    hours = hours_for(300.0, 5000.0, start, LONDON)
    day, rest = hours.stretches
    assert (day.first, day.last, rest.last) == (0.0, 300.0, 5000.0)
    words = [tick.words for tick in hours.ticks(day, 120.0)]
    assert words == ["10:00", "11:00", "12:00", "13:00", "14:00"]
    assert [tick.words for tick in hours.ticks(rest, 45.0)] == ["Sun", "Mon", "Tue"]
    plain = hours_for(300.0, 320.0, None, "UTC")
    assert len(plain.stretches) == 1
    assert [t.words for t in plain.ticks(Stretch(0, 320, 0, 1), 100.0)][:3] == ["0:00", "1:00",
                                                                                "2:00"]  # fmt: skip


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm renders the pages")
@pytest.mark.parametrize("paper", list(PAPERS))
def test_no_ink_lies_outside_the_margins(sample: Journal, tmp_path, paper) -> None:
    start = from_iso("2026-03-14T21:15", LONDON)
    made = []
    for plan in (*builtin_plans(), long_plan()):
        made.append(tmp_path / f"{plan.name}.pdf")
        make_sheet(plan, made[-1], paper=paper, start_ms=start, zone=LONDON)
    for row in sample.makes.rows()[:3]:
        made.append(tmp_path / f"{row.code}.pdf")
        make_record(sample.whole(row.id), made[-1], paper=paper)
    for path in made:
        subprocess.run(["pdftoppm", "-r", "60", "-gray", path, path.with_suffix("")], check=True)
        pictures = sorted(tmp_path.glob(f"{path.stem}-*.pgm"))
        assert len(pictures) == len(PdfReader(path).pages)
        for picture in pictures:
            _check_margins(QImage(str(picture)))


def _check_margins(image: QImage) -> None:
    image = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    dark = rows[:, : image.width()] < 200
    dots = 60 / 25.4
    edge = int((MARGIN - 3.0) * dots)  # a tick's words may stand 3 mm out
    assert dark.any()
    assert not dark[:edge].any()
    assert not dark[-edge:].any()
    assert not dark[:, :edge].any()
    assert not dark[:, -edge:].any()


def test_drawing_a_sheet_loads_no_chart_and_nothing_heavy() -> None:
    code = (
        "import os, sys; os.environ['QT_QPA_PLATFORM'] = 'offscreen'\n"
        "from PySide6.QtWidgets import QApplication; app = QApplication([])\n"
        "from journal.desk.sheets import make_sheet, make_record\n"
        "from journal.records.plan_text import builtin_plan\n"
        "make_sheet(builtin_plan('tomme'), os.devnull)\n"
        "print(sorted({'pyqtgraph', 'scipy', 'pint', 'sqlite_utils'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("paper", PAPERS)
def test_no_first_page_of_a_record_stays_half_empty(sample: Journal, paper: str) -> None:
    for make in sample.makes.all():
        sheet = Paper(paper, "Record")
        blocks = record._Record(sheet, sample.whole(make.id)).blocks
        pages = best_pages(sheet, blocks, record.SIZES)
        if len(pages) > 1:
            foot = max(placed.y + placed.height for placed in pages[0])
            assert foot > sheet.bottom - 0.2 * (sheet.bottom - sheet.top), make.code


def test_a_loss_is_said_without_a_sign_and_a_unit_once(sample: Journal) -> None:
    whole = next(
        one for one in map(sample.whole, range(1, 20)) if one.wheels and len(one.weighings) > 3
    )
    wheel = whole.wheels[0]
    last = max((w for w in whole.weighings if w.wheel_id == wheel.id), key=lambda w: w.at_ms)
    lost = 100 * (1 - last.weight_kg / wheel.green_weight_kg)
    assert lost > 0
    assert wheel_rows(whole)[0][3] == f"{lost:.1f} %"
    grown = replace(whole, wheels=(replace(wheel, green_weight_kg=last.weight_kg / 1.01),))
    assert wheel_rows(grown)[0][3] == "gained 1.0 %"
    labels = [row[0][0].lead for row in reading_rows(whole)]
    assert "curd pH" in labels
    assert "milk, °C" in labels


def test_a_length_stands_on_one_line(sample: Journal) -> None:
    whole = sample.whole(1)
    cells = [stage_cells(whole, place) for place in range(len(whole.plan.stages))]
    assert any("h" in cell[4] for cell in cells)
    assert not [cell for cell in cells if " " in cell[4] or " " in cell[5]]
    sheet = Paper("A4", "Record")
    longest = sheet.text_width("23 h 44", record.SIZES[0])
    assert longest + 2 * PAD <= record.LENGTH_WIDE


def test_the_record_has_its_photos_and_its_scores(sample: Journal, tmp_path) -> None:
    from PySide6.QtGui import QColor

    from journal.desk.sheets.photos import PrintedPhoto

    row = next(row for row in sample.makes.rows() if sample.whole(row.id).scores)
    image = QImage(900, 600, QImage.Format.Format_RGB32)
    image.fill(QColor("#7a4b2a"))
    photos = [PrintedPhoto(image, f"{row.code}-A, the rind at {at} days") for at in (30, 60, 90)]
    path = tmp_path / "record.pdf"
    make_record(sample.whole(row.id), path, photos=photos)
    says(path, "Photos", *(one.words for one in photos), f"{row.code}-A scored")
    drawn = [
        one for page in PdfReader(path).pages
        for one in page["/Resources"].get("/XObject", {}).values()
        if one.get_object()["/Subtype"] == "/Image"
    ]  # fmt: skip
    assert len(drawn) >= 1

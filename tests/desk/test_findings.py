"""The place of findings on the sample journal: the numbers of the study, by keys, never in the
way."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from pypdf import PdfReader
from pyqtgraph import PlotCurveItem
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.background import State
from journal.desk import dialogs
from journal.desk.charts.marks import DotMark
from journal.desk.findings.ranges import span_of
from journal.desk.labels import plain_tip
from journal.desk.shots import settle
from journal.findings import AGE_KEY, scatter, study
from journal.findings.defect_table import defect_table
from journal.findings.predict import PredictionBase, predict
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.keeping.session_rows import OpenServing
from journal.keeping.sessions import ScoredSample
from journal.records.instants import DAY_MS
from journal.reports.study import look_at
from journal.sample.truth import OPTIMA
from journal.wording import text_of
from journal.wording.dates import day_words
from journal.wording.effects import beside, chance, typical_change
from journal.wording.findings import doubt, study_headline
from journal.wording.next_make import change_lines, expected_score
from journal.wording.numbers import signed
from tests.desk.hands import key_for, save_printed

WAIT_MS = 60_000  # a patience, no promise: other work may hold the machine


@pytest.fixture
def opened(window_on, qtbot):
    """Opens the place on a journal and waits until the study is told."""

    def on(journal: Journal):
        place = window_on(journal, place="findings").current
        qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
        return place

    return on


def press(place, *key) -> None:
    QTest.keyClick(place.window().focusWidget(), *key)


def by_hand(journal: Journal, score: str):
    with Journal.open(journal.path, read_only=True) as again:
        table = score_table(again.wholes(), score)
    return table, study(table)


def keep_makes(journal: Journal, count: int) -> None:
    for make in journal.makes.all()[count:]:
        journal.makes.remove(make.id)


def test_it_shows_the_numbers_of_the_study(opened, sample):
    place = opened(sample)
    _, report = by_hand(sample, "overall")
    shown = place.results.table.rows_model.rows
    assert [str(f.as_json()) for f in shown] == [str(f.as_json()) for f in report.findings]
    assert place.results.headline.text() == study_headline(report)
    assert place.results.doubt.text() == doubt(report)
    counts = f"{report.wheels} wheels from {report.makes} makes, {report.assessors} assessors"
    assert place.results.looked.text().startswith(counts)
    assert f"{report.variables_tried} variables looked at" in place.results.looked.text()
    assert f"{report.r2:.2f}" in place.beside.numbers.notes.text()
    assert report.r2_left_one_out < 0  # a home's makes differ by chance, and say so
    assert "predict new makes worse than their average" in place.beside.numbers.notes.text()


def test_up_and_down_pick_the_variable_that_is_drawn(opened, sample):
    place = opened(sample)
    table, report = by_hand(sample, "overall")
    # the first that a maker can choose: the age stands apart
    assert (report.findings[0].key, place.results.table.current().key) == (
        AGE_KEY, report.findings[1].key,
    )  # fmt: skip
    press(place, Qt.Key.Key_Down)
    finding = report.findings[2]
    wanted = scatter(table, report, finding.variable)
    seen = place.beside.picture.shown.seen
    assert seen.variable == finding.variable
    np.testing.assert_allclose(seen.y, wanted.y)
    np.testing.assert_allclose(seen.low80, wanted.low80)
    texts = [[label.text() for label in row] for row in place.beside.numbers.words]
    assert texts == [list(row) for row in beside(finding)]
    assert texts[0][2].startswith(signed(finding.effect))
    assert texts[1] == ["correlation", f"ρ {signed(finding.rho)}",
                        f"partial r {signed(finding.partial_r)}"]  # fmt: skip
    assert texts[2][1] == f"p {chance(finding.p)}, q {chance(finding.q)}"


def test_the_line_bends_as_the_model_does(opened, sample):
    place = opened(sample)
    place.results.table.select_variable("pH at milling")
    seen = place.beside.picture.shown.seen
    assert seen.variable == "pH at milling"
    straight = np.linspace(seen.line_y[0], seen.line_y[-1], seen.line_y.size)
    bend, half = OPTIMA["mill_ph"], (seen.line_x[-1] - seen.line_x[0]) / 2
    # a parabola stands above the chord of its ends by what it loses half their distance away
    assert np.abs(seen.line_y - straight).max() > -bend.at(bend.best + half) / 2
    curves = [item.getData() for item in place.beside.picture.plot.scene().items()
              if isinstance(item, PlotCurveItem)]  # fmt: skip
    assert any(np.array_equal(y, seen.line_y) for _, y in curves)


@pytest.mark.parametrize("size", [(1280, 720), (1440, 900)])
def test_no_line_of_the_next_make_is_cut(opened, sample, qtbot, size):
    place = opened(sample)
    place.window().resize(*size)
    qtbot.waitUntil(place.shows_results)
    card = place.beside.card
    for kind in ("careful", "bold", "one", "best"):
        card.turn_to(kind)
        qtbot.waitUntil(lambda: all(
            label.text() and label.height() >= label.heightForWidth(label.width())
            for label in (card.heading, card.reason, card.score)))  # fmt: skip
        assert card.rect().contains(card.plan.geometry())
        assert card.rect().contains(card.year.geometry())


def test_a_low_window_with_a_message_leaves_the_picture_its_height(opened, sample, qtbot):
    """What the card says less of stands on hover."""
    place = opened(sample)
    card, picture = place.beside.card, place.beside.picture
    place.window().resize(1440, 900)
    qtbot.waitUntil(lambda: place.window().height() == 900)
    settle(QApplication.instance(), place.window())
    full = card.score.text()
    place.messages.show_message("long", "The sensor of the room is silent.")
    place.window().resize(1280, 720)
    qtbot.waitUntil(lambda: place.window().height() == 720)
    settle(QApplication.instance(), place.window())
    assert picture.plot.getViewBox().height() >= 90
    assert card.score.text() != full
    left_out = full.removeprefix(expected_score(card.proposal)).strip()
    assert plain_tip(left_out) == card.score.toolTip()
    assert card.rect().contains(card.plan.geometry())
    place.window().resize(1440, 900)
    qtbot.waitUntil(lambda: card.score.text() == full)


@pytest.mark.parametrize("size", [(1280, 720), (1440, 900), (960, 1040)])
def test_no_word_above_the_table_is_cut(opened, sample, qtbot, size):
    """However many notes stand under the table: the headline, what was looked at, the acts."""
    place = opened(sample)
    place.window().resize(*size)
    qtbot.waitUntil(lambda: (place.window().width(), place.window().height()) == size)
    settle(QApplication.instance(), place.window())
    page = place.results
    for label in (page.headline, page.looked, page.doubt):
        assert label.height() >= label.heightForWidth(label.width()) - 1, label.text()
    for button in (page.score, page.series, page.further):
        assert button.width() >= button.sizeHint().width(), button.text()


def test_left_and_right_step_along_the_points_and_enter_opens_the_make(opened, sample, qtbot):
    place = opened(sample)
    answer = place.study.answers["overall"]
    variable = place.results.table.current().variable
    column = answer.table.x[:, answer.table.position(variable)]
    before = column[place._row]
    for _ in range(3):
        press(place, Qt.Key.Key_Left)
    assert column[place._row] <= before
    code = answer.table.make[place._row]
    assert place.beside.open.text() == f"Open {code}"
    place.goes.disconnect(place.window().go)
    with qtbot.waitSignal(place.goes) as gone:
        press(place, Qt.Key.Key_Return)
    assert gone.args == ["makes", sample.makes.by_code(code).id]


def test_another_score_is_chosen_from_the_list(opened, sample, qtbot):
    place = opened(sample)
    place.choose_score()
    menu = QApplication.activePopupWidget()
    assert [a.data() for a in menu.actions() if not a.data().startswith("defect")] == [
        n for n, _ in sample.sessions.attributes()
    ]
    next(a for a in menu.actions() if a.data() == "bitter").trigger()
    menu.close()
    qtbot.waitUntil(lambda: "bitter" in place.study.answers, timeout=WAIT_MS)
    _, report = by_hand(sample, "bitter")
    assert place.results.headline.text() == study_headline(report)
    assert place.results.score.text() == "bitter"


@pytest.mark.own_findings
def test_it_is_stopped_by_a_key_and_begun_again(window_on, sample, qtbot):
    place = window_on(sample, place="findings").current
    assert place.study.working
    QTest.keyClick(place, Qt.Key.Key_Escape)
    assert not place.study.working
    assert place.pages.currentWidget() is place.refused
    qtbot.waitUntil(place.settled, timeout=WAIT_MS)
    assert place.study.answers == {}
    QTest.keyClick(place.window().focusWidget(), Qt.Key.Key_Return,
                   Qt.KeyboardModifier.ControlModifier)  # fmt: skip
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)


@pytest.mark.own_findings
def test_leaving_ends_the_work_and_coming_back_begins_it(window_on, sample, qtbot):
    window = window_on(sample, place="findings")
    place = window.current
    window.go("tastings")
    assert not place.study.working
    qtbot.waitUntil(window.settled, timeout=WAIT_MS)
    assert place.study.answers == {}
    window.go("findings")
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
    answer = place.study.answers["overall"]
    window.go("tastings")
    window.go("findings")
    assert place.study.answers["overall"] is answer


def test_a_new_score_makes_the_answer_old_and_a_reading_elsewhere_does_not(opened, sample, qtbot):
    place = opened(sample)
    window, answer = place.window(), place.study.answers["overall"]
    unscored = next(m for m in sample.makes.all() if m.code not in answer.makes)
    sample.readings.log(unscored.id, "milk-temp", 20.0, unscored.started_ms + 1000)
    assert place.study.answers["overall"] is answer
    scored = answer.makes[answer.table.make[0]].make_id
    sample.readings.log(scored, "milk-temp", 5.0, answer.makes[answer.table.make[0]].started_ms)
    qtbot.waitUntil(
        lambda: place.study.answers.get("overall") not in (None, answer), timeout=WAIT_MS
    )
    window.go("tastings")
    wheel = sample.sessions.wheels()[-1]
    sample.sessions.give(
        OpenServing(wheel.id, "Orla", wheel.started_ms + 300 * DAY_MS),
        ScoredSample({"overall": 2.0}),
    )
    window.go("findings")
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
    _, report = by_hand(sample, "overall")
    assert [f.effect for f in report.findings[:3]] == [
        f.effect for f in place.results.table.rows_model.rows[:3]
    ]


def test_four_makes_have_a_picture_and_no_ranges(opened, sample):
    keep_makes(sample, 4)
    place = opened(sample)
    rows = place.results.table.rows_model.rows
    assert all(np.isnan(f.effect) for f in rows)
    assert not place.results.table.ranged
    assert place.beside.picture.shown.seen.x.size > 0
    assert place.beside.picture.shown.seen.line_x.size == 0
    assert "Thick" not in place.results.notes.text()
    assert "can never reach 5 %" in place.beside.numbers.notes.text()
    assert not re.search(r"\b[pq] = |\|r\||r²|ρ", place.results.notes.text())


def test_a_click_on_a_wheel_below_rings_it(opened, sample):
    place = opened(sample)
    wheel = place.study.answers["overall"].table.wheel[0]
    place.line.went.emit(wheel)
    assert place.study.answers["overall"].table.wheel[place._row] == wheel
    marks = place.line.scene().marks[-1].marks
    x = next(point.x for point in place.line.scene().marks[-1].points if point.key == wheel)
    assert sum(isinstance(mark, DotMark) and mark.x == x for mark in marks) >= 2  # a dot in a ring


def test_an_empty_journal_says_how_to_begin(journal, window_on):
    place = window_on(journal, place="findings").current
    assert place.pages.currentWidget() is place.empty
    assert not place.beside.isVisible()
    assert "Ranges need at least five makes" in place.empty.sentence.text()


def test_every_range_that_is_told_fits_the_page(opened, sample):
    place = opened(sample)
    rows = place.results.table.rows_model.rows
    span = span_of(rows)
    for finding in rows:
        if finding.evidence in ("clear", "leaning"):
            assert max(abs(finding.low95), abs(finding.high95)) <= span


def test_numbers_are_written_plainly(sample):
    assert signed(-0.456) == "−0.46"
    assert signed(0.001) == "0.00"
    assert signed(float("nan")) == "–"
    assert chance(0.00004) == "under 0.001"
    _, report = by_hand(sample, "overall")
    assert typical_change(report.finding("salt in curd")) == "+0.3 %"


def test_the_card_opens_the_plan_with_the_change_as_a_step_of_a_draft(opened, sample, qtbot):
    place = opened(sample)
    answer = place.study.answers["overall"]
    proposal = answer.next_make.of("careful")
    assert place.beside.card.heading.text() == text_of(proposal.title)
    for line in change_lines(proposal):
        assert line in place.beside.card.reason.text()
    window = place.window()
    press(place, *key_for("larger_act"))
    qtbot.waitUntil(lambda: window.current.key == "plans")
    plans = window.current
    assert plans.author.settled.from_make == answer.next_make.start.code
    assert plans.author.settled.plan().stages == proposal.plan.stages
    assert plans.page.stages.current_stage == proposal.stage
    assert text_of(proposal.title).removesuffix(".") in plans.messages.text("draft")
    plans.author.undo()  # the change is one step, and the plan it was made by is under it
    assert plans.author.settled.plan().stages == answer.next_make.start.plan.stages
    assert window.desk.change is None


def test_the_card_turns_from_careful_to_the_best_known_plan_and_remembers(opened, sample, qtbot):
    place = opened(sample)
    report, card = place.study.answers["overall"].next_make, place.beside.card
    control = Qt.KeyboardModifier.ControlModifier
    for kind in ("bold", "one", "best", "careful", "bold"):
        press(place, *key_for("turn_card"))
        assert card.kind == kind
        assert card.heading.text() == text_of(report.of(kind).title)
    press(place, Qt.Key.Key_B, control | Qt.KeyboardModifier.ShiftModifier)
    assert card.kind == "best"
    assert card.score.text().startswith(expected_score(report.best))
    place.window().close()
    again = opened(sample)
    assert again.beside.card.kind == "bold"  # what is only looked at is not remembered


def test_makes_a_year_are_asked_once_and_remembered(opened, sample, qtbot):
    place = opened(sample)
    card = place.beside.card
    hard = [row for row in sample.makes.rows() if row.plan == "Hollow Lane hard"]
    days = (hard[0].started_ms - hard[-1].started_ms) / DAY_MS
    a_year = round(365 * (len(hard) - 1) / days)
    assert card.year.text() == f"How many makes a year? About {a_year} so far…"
    card.year.click()
    menu = QApplication.activePopupWidget()
    next(a for a in menu.actions() if a.data() == "26").trigger()
    menu.close()
    qtbot.waitUntil(lambda: "overall" in place.study.answers, timeout=WAIT_MS)
    assert place.study.answers["overall"].next_make.a_year == 26
    qtbot.waitUntil(lambda: card.year.text() == "26 makes a year")
    with Journal.open(sample.path, read_only=True) as again:
        assert look_at(again, "overall", State(lambda *_: None)).next_make.a_year == 26


def test_what_if_of_the_age_does_not_speak_of_another_age(opened, sample):
    place = opened(sample)
    what_if = place.beside.what_if
    place.results.table.select_variable("age at tasting")
    what_if.line.setText("200")
    assert "would score" in what_if.message.text()
    assert what_if.more.text() == "The range includes the random effect of a make."
    place.results.table.select_variable("salt in curd")
    what_if.line.setText("2.8")
    assert what_if.more.text().endswith("the age is the median of the tastings.")


def test_what_if_says_the_score_and_its_range_as_it_is_typed(opened, sample):
    place = opened(sample)
    place.results.table.select_variable("salt in curd")
    place.beside.turn_to(2)
    line = place.beside.what_if.line
    assert line.isVisible()
    QTest.keyClicks(line, "2,8")
    answer = place.study.answers["overall"]
    report = predict(answer.table, answer.study, PredictionBase.of(answer.table, answer.newest),
                    {"salt in curd": 2.8})  # fmt: skip
    output = place.beside.what_if.message.text()
    assert f"would score {report.score:.1f}" in output
    assert f"between {report.low80:.1f} and {report.high80:.1f}" in output
    line.setText("3.2")
    assert "No make was ever there" in place.beside.what_if.more.text()
    line.setText("salty")
    assert "Type a number" in place.beside.what_if.message.text()


def test_before_and_after_a_day_or_a_value(opened, sample):
    place = opened(sample)
    place.results.table.select_variable("salt in curd")
    page = place.beside.before_after
    starts = sorted(known.started_ms for known in place.study.answers["overall"].makes.values())
    middle = day_words(starts[len(starts) // 2], sample.zone)
    page.line.setText(middle)
    assert page.message.text().startswith(f"From {middle}: ")
    assert "95 in 100 between" in page.message.text()
    page.line.setText("2.4")
    assert page.message.text().startswith("salt in curd above 2.4: ")
    assert "points higher" in page.message.text()
    page.line.setText("99")
    assert "too few" in page.message.text()


def test_a_defect_is_asked_about_from_the_same_list(opened, sample, qtbot):
    place = opened(sample)
    place.choose_score()
    menu = QApplication.activePopupWidget()
    action = next(a for a in menu.actions() if a.data() == "defect: bitter")
    assert action.text().endswith("samples")
    action.trigger()
    menu.close()
    qtbot.waitUntil(lambda: "defect: bitter" in place.study.answers, timeout=WAIT_MS)
    with Journal.open(sample.path, read_only=True) as again:
        report = study(defect_table(again.wholes(), "bitter"))
    assert place.results.headline.text() == study_headline(report)
    assert place.results.table.rows_model.columns[2].title == "samples in 100"
    assert "Bitter was named in" in place.results.notes.text()
    assert "proposed from a score, not from a defect" in place.beside.card.reason.text()
    place.results.table.select_variable("salt in curd")
    place.beside.what_if.line.setText("2.8")
    assert "would have bitter named in" in place.beside.what_if.message.text()
    place.beside.before_after.line.setText("2.4")
    assert "of 100 samples scored, 95 in 100 between" in place.beside.before_after.message.text()


def test_f6_goes_through_the_parts(opened, sample):
    place = opened(sample)
    seen = []
    for _ in range(5):
        press(place, Qt.Key.Key_F6)
        seen.append(place.beside.stack.currentIndex())
    assert seen == [1, 2, 3, 4, 0]


def test_the_findings_are_printed_on_two_pages(opened, sample, tmp_path, monkeypatch):
    place = opened(sample)
    answer = place.study.answers["overall"]
    asked = []

    def where(_parent, _title, _kinds, suggestion=""):
        asked.append(suggestion)
        return str(tmp_path / "told")

    monkeypatch.setattr(dialogs, "ask_save", where)
    press(place, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    save_printed()
    assert asked[0].startswith("findings-overall-")
    assert "2 pages" in place.messages.text("printed")
    pages = PdfReader(tmp_path / "told.pdf").pages
    assert len(pages) == 2
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert study_headline(answer.study) in text
    assert doubt(answer.study) in text
    for proposal in answer.next_make.proposals:
        assert text_of(proposal.title) in text
    for finding in answer.study.findings:
        assert finding.variable in text
        if finding.evidence in ("clear", "leaning"):
            assert (
                f"{finding.variable}, {typical_change(finding)}: {signed(finding.effect)}" in text
            )
    monkeypatch.setattr(dialogs, "ask_save", lambda *_a, **_k: str(tmp_path / "no" / "told.pdf"))
    place.print_findings()
    save_printed()
    assert "cannot be written" in place.messages.text("printed")


def test_a_journal_of_pure_noise_says_so(opened, sample):
    """The sample with every overall score drawn anew: nothing of its truth may be left."""
    draw = np.random.default_rng(12)
    with sample.unit("noise"):
        for score in sample.scores.where(attribute="overall"):
            value = float(np.clip(round(2 * draw.normal(6, 1)) / 2, 0, 10))
            sample.scores.save(replace(score, value=value))
    place = opened(sample)
    assert all(f.evidence != "clear" for f in place.study.answers["overall"].study.findings)
    assert place.results.headline.text().startswith(("Nothing is clear yet", "Nothing goes with"))
    promised = place.study.answers["overall"].next_make.best.kept
    assert not [change for change in promised if change.gain.low80 > 0.3]

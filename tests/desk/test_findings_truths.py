"""What the window says against what is true: the sample's causes, and what is asked of them by
keys."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.findings.evidence import CLEAR, LEANING
from journal.keeping import Journal
from journal.records.instants import local
from journal.sample import write_sample
from journal.sample.series import HIGH, LOW
from journal.sample.truth import EFFECTS, OPTIMA
from journal.wording.dates import day_words
from tests.desk.hands import key_for
from tests.present import NOW

WAIT_MS = 60_000  # a patience, no promise: other work may hold the machine
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier

# The truths in the window's steps: salt in curd counts % of the curd where the truth counts g/kg.
# The pH at milling has its best value in the middle.
TRUE = {
    "salt in curd": EFFECTS["salt_g_per_kg"].slope * 10 * 0.3,
    "cook rate": EFFECTS["cook_rate"].slope * 0.05,
    "age at tasting": EFFECTS["age_days"].slope * 30,
}
BEST = {"pH at milling": OPTIMA["mill_ph"].best}
NOTHING = ("milk ripened", "rennet dose", "curd size", "cook temperature", "pH at drain",
           "press pressure", "room humidity", "milk fat")  # fmt: skip


@pytest.fixture
def opened(window_on, qtbot):
    def on(journal: Journal):
        place = window_on(journal, place="findings").current
        qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
        return place

    return on


@pytest.fixture(scope="session")
def long_file(tmp_path_factory):
    """The same kitchen after eighty makes, with few readings."""
    path = tmp_path_factory.mktemp("long") / "long.vatside"
    write_sample(path, makes=80, readings_per_make=200, now_ms=NOW)
    return path


def press(place, key, modifier=Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(QApplication.focusWidget() or place.window(), key, modifier)


def ask(place, variable: str, part: int, text: str):
    """Pick a variable, turn to a part with F6, and type there."""
    place.results.table.select_variable(variable)
    place.results.table.setFocus()
    while place.beside.stack.currentIndex() != part:
        press(place, Qt.Key.Key_F6)
    asked = place.beside.stack.currentWidget()
    assert asked.line.hasFocus()
    asked.line.selectAll()
    QTest.keyClicks(QApplication.focusWidget(), text)
    return asked


def shown(place) -> dict[str, object]:
    return {f.variable: f for f in place.results.table.rows_model.rows}


def test_the_sample_shows_one_that_is_clear_one_that_leans_and_one_with_a_best_value(
    opened, sample
):
    place = opened(sample)
    found = shown(place)
    clear = {name for name, finding in found.items() if finding.evidence == CLEAR}
    assert clear == {"salt in curd", "age at tasting", *BEST}
    assert found["cook rate"].evidence == LEANING
    for name, points in TRUE.items():
        assert np.sign(found[name].effect) == np.sign(points)
        assert found[name].low95 <= points <= found[name].high95
    for name, value in BEST.items():
        best = found[name].best
        assert best.low80 - 0.03 <= value <= best.high80 + 0.03  # a pH electrode's own doubt
    assert [name for name, finding in found.items() if finding.best is not None] == list(BEST)
    assert all(found[name].evidence != CLEAR for name in NOTHING)
    assert place.results.headline.text() == "Two things go with the score so far."
    assert "Age stands apart: the score goes with it too." in place.results.doubt.text()


def test_the_kitchen_s_series_is_shown_and_holds_the_truth(opened, sample, qtbot):
    """What low to high of each variable truly does: salt its effect, the rest nothing."""
    place = opened(sample)
    press(place, *key_for("show_series"))
    qtbot.waitUntil(lambda: place.series.shown == "standing", timeout=WAIT_MS)
    qtbot.waitUntil(place.window().settled, timeout=WAIT_MS)
    assert place.series.saved_page.made().state.text() == "All 8 makes are made."
    rows = place.series.beside.made().table.rows_model.rows
    true = {"salt in curd": TRUE["salt in curd"] / 0.3 * (HIGH[0] - LOW[0])}
    assert [row.variable for row in rows] == ["salt in curd", "cook temperature", "curd size"]
    for row in rows:
        assert row.low95 <= true.get(row.variable, 0.0) <= row.high95
    assert rows[0].evidence in (CLEAR, LEANING)
    assert rows[0].effect > 0


def test_with_eighty_makes_nothing_is_clear_that_is_not_true(opened, long_file, tmp_path):
    path = tmp_path / "long.vatside"
    path.write_bytes(long_file.read_bytes())
    with Journal.open(path) as journal:
        place = opened(journal)
        clear = {f.variable for f in place.results.table.rows_model.rows if f.evidence == CLEAR}
        assert {"salt in curd", "age at tasting", *BEST} <= clear <= {*TRUE, *BEST}
        for name, points in TRUE.items():
            finding = shown(place)[name]
            assert finding.low95 <= points <= finding.high95
        place.window().close()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_noise_is_called_noise(opened, sample, seed):
    """Every overall score drawn anew: no cause may be clear, and nothing is promised."""
    draw = np.random.default_rng(seed)
    with sample.unit("noise"):
        for score in sample.scores.where(attribute="overall"):
            value = float(np.clip(round(2 * draw.normal(6, 1)) / 2, 0, 10))
            sample.scores.save(replace(score, value=value))
    place = opened(sample)
    assert all(f.evidence != CLEAR for f in place.results.table.rows_model.rows)
    assert place.results.headline.text().startswith(("Nothing is clear yet", "Nothing goes with"))
    promised = place.study.answers["overall"].next_make.best.kept
    assert not [change for change in promised if change.gain.low80 > 0.3]
    assert "undecided" in place.results.doubt.text()


def test_what_if_is_typed_by_keys_and_refuses_what_lies_too_far(opened, sample):
    place = opened(sample)
    true, newest = TRUE["salt in curd"] / 0.3, place.study.answers["overall"].newest
    asked = ask(place, "salt in curd", 2, "2.8")
    assert f"A make like {newest} would score" in asked.message.text()
    assert "8 times in 10 between" in asked.message.text()
    assert asked.line.accessibleDescription().startswith("A make like")
    column = place.study.answers["overall"].table
    own = [i for i, m in enumerate(column.make) if m == newest]
    was = float(np.mean(column.x[own, column.position("salt in curd")]))
    words = asked.message.text().replace("−", "-")
    gain = float(words.split("on average ")[1].split(" points")[0])
    low, high = (float(p) for p in words.rsplit("between ", 1)[1].rstrip(".").split(" and "))
    assert low <= gain <= high
    assert low - 0.05 <= true * (2.8 - was) <= high + 0.05  # said in tenths
    asked.line.selectAll()
    QTest.keyClicks(asked.line, "9")
    assert "too far outside to predict anything" in asked.message.text()
    asked.line.selectAll()
    QTest.keyClicks(asked.line, "3,2")
    assert "No make was ever there" in asked.more.text()
    asked.line.selectAll()
    QTest.keyClicks(asked.line, "salty")
    assert "Type a number" in asked.message.text()
    assert asked.box.wrong


def test_before_and_after_a_day_names_the_season_and_what_moved_with_it(opened, sample):
    for make in sample.makes.all():
        if local(make.started_ms, sample.zone).year != 2025:
            sample.makes.remove(make.id)
    place = opened(sample)
    asked = ask(place, "salt in curd", 3, "1 July 2025")
    assert asked.message.text().startswith("From 1 July 2025: 6 makes compared with 7.")
    assert "95 in 100 between" in asked.message.text()
    assert "With all else equal" in asked.message.text()
    assert "The milk's season changed at the same time" in asked.more.text()
    assert "milk ripened was" in asked.more.text()  # a habit changed at the tenth
    assert "The milk's season changed" in asked.line.accessibleDescription()


def test_before_and_after_names_the_ageing_that_changed_too(opened, sample):
    place = opened(sample)
    starts = sorted(known.started_ms for known in place.study.answers["overall"].makes.values())
    late = day_words(starts[-4], sample.zone)  # the last ones are not old yet
    asked = ask(place, "salt in curd", 3, late)
    assert asked.message.text().startswith(f"From {late}: ")
    assert "Ageing differed too" in asked.more.text()


def test_before_and_after_a_split_of_a_variable_finds_its_true_effect(opened, sample):
    place = opened(sample)
    asked = ask(place, "salt in curd", 3, "2,4")
    assert asked.message.text().startswith("salt in curd above 2,4: ")
    held = asked.message.text().split("With all else equal that is ")[1]
    low, high = held.split("between ")[1].split(". ")[0].split(" and ")
    table = place.study.answers["overall"].table
    column = table.x[:, table.position("salt in curd")]
    apart = column[column > 2.4].mean() - column[column <= 2.4].mean()
    assert float(low) <= TRUE["salt in curd"] / 0.3 * apart <= float(high)


def choose(place, qtbot, wanted: str) -> None:
    """Choose a score or a defect from the list, by keys."""
    press(place, Qt.Key.Key_J, CTRL)
    menu = QApplication.activePopupWidget()
    names = [action.data() for action in menu.actions()]
    chosen = names.index(place.study.score)
    assert menu.activeAction() is menu.actions()[chosen]
    way = Qt.Key.Key_Down if names.index(wanted) > chosen else Qt.Key.Key_Up
    for _ in range(abs(names.index(wanted) - chosen)):
        QTest.keyClick(menu, way)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: wanted in place.study.answers, timeout=WAIT_MS)
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
    assert place.study.score == wanted
    place.window().activateWindow()
    qtbot.waitUntil(place.window().isActiveWindow)


def test_an_attribute_and_a_defect_are_chosen_by_keys(opened, sample, qtbot):
    """The truth of the attribute “acid” is the pH at milling (journal.sample.truth)."""
    place = opened(sample)
    choose(place, qtbot, "acid")
    finding = shown(place)["pH at milling"]
    assert finding.effect < 0
    assert finding.evidence in (CLEAR, LEANING)
    choose(place, qtbot, "defect: bitter")
    assert place.results.table.rows_model.columns[2].title == "samples in 100"
    seen = place.beside.picture.shown.seen
    assert seen.y.min() >= 0
    assert seen.y.max() <= 100

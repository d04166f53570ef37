"""Pictures of a session under way: set up, scored, typed in, revealed; a panel test; the panel."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QSettings, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from journal.desk.form.chips import ChipEntry
from journal.desk.shots import DRAWN_MS, Shot, draw_shot
from journal.desk.tastings.drafts import SheetDraft
from journal.desk.tastings.place import BLIND, OPEN, PANEL, TESTS, TastingsPlace
from journal.desk.theme import Look
from journal.desk.window import Window
from journal.keeping import Journal
from journal.keeping.panel_sets import HiddenSet
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import SampleIdentity, WheelRow
from journal.records import id_of
from journal.records.panel_tests import TRIANGLE

_SAMPLES, _REFERENCE = 4, "Shop cheddar"
_GIVEN = (7.5, 6.0, 5.0, 8.0, 6.5)
_WORDS = ("hazelnut, a little broth", "clean, milky, short", "sharp at the back", "", "plain")


def draw_session(
    app: QApplication, look: Look, path: Path, out: Path, shots: tuple[Shot, ...]
) -> Iterator[Path]:
    """Draw each state of a session in each way of looking; writes into the journal at `path`."""
    with TemporaryDirectory() as folder, Journal.open(path) as journal:
        saved = QSettings(str(Path(folder) / "sitting.ini"), QSettings.Format.IniFormat)
        window = Window(journal, clock=_still(DRAWN_MS), settings=saved, place="tastings",
                        daily_backup=False)  # fmt: skip
        window.show()
        place = window.current
        assert isinstance(place, TastingsPlace)
        for name, act in STATES:
            act(place, Path(folder))
            for shot in shots:
                look.set_mode(shot.mode)
                window.resize(shot.size)
                yield draw_shot(app, window, shot, out / f"tastings-{name}")
        window.close()
        window.deleteLater()
        app.processEvents()


def _still(at_ms: int) -> Callable[[], int]:
    def clock() -> int:
        return at_ms

    return clock


def _arrange(place: TastingsPlace, _folder: Path) -> None:
    """What is on the board and who tastes, not set up yet; codes and orders that stay."""
    place.blind.made().draw_seed = place.tests.made().draw_seed = partial(int, "8587")
    place.show_part(BLIND)
    part = place.blind.made()
    rows = [r for r in place.journal.sessions.wheels() if r.tasted and not r.gone]
    chosen = sorted(rows, key=_most_tasted)[:_SAMPLES]
    for row in chosen:
        part.form.board.add(ChipEntry(row.code, SampleIdentity(row.id)))
    part.form.board.add(ChipEntry(_REFERENCE, SampleIdentity(None, _REFERENCE)))
    part.form.board.add(ChipEntry(chosen[0].code, SampleIdentity(chosen[0].id)))
    for name in place.journal.sessions.people():
        part.form.people.add(ChipEntry(name, name))
    part.form.begin.setFocus()


def _score(place: TastingsPlace, folder: Path) -> None:
    """The third sample of the first assessor, the last assessor having finished."""
    part = place.blind.made()
    part.main()
    journal, tasting = place.journal, part.scoring.tasting
    servings = journal.sessions.servings(id_of(tasting))
    samples = sorted({s.sample_id for s in servings})
    people = list(dict.fromkeys(s.assessor for s in servings))
    for one in servings:
        if one.assessor == people[-1] or (one.assessor == people[0] and one.position < 2):
            journal.sessions.give(
                one.id, _scored(samples.index(one.sample_id), people, one.assessor)
            )
    part.scoring.select(next(s.id for s in servings if s.assessor == people[0] and s.position == 2))
    texts = dict(zip(tasting.sheet, ("7.5", "7.0", "6.5", "7.0", "5.5", "6.0", "1.5"),
                     strict=False))  # fmt: skip
    marks = (("flavour", "bitter", "slight"), ("body_texture", "open", "definite"))
    photo = journal.photos.bring(_cut(folder))
    part.sheet.show_draft(SheetDraft(texts, marks, _WORDS[0], {}, photo))
    part.sheet.rows[-1].setFocus()


def _paper(place: TastingsPlace, _folder: Path) -> None:
    """The page for sheets of paper."""
    part = place.blind.made()
    part.type_in()
    for row, value in zip(part.paper.rows, ("6,5", "7", "5"), strict=False):
        for cell in row.cells:
            cell.setText(value)


def _key(place: TastingsPlace, _folder: Path) -> None:
    """The helper's page, covered."""
    place.shown_part().show_key()


def _reveal(place: TastingsPlace, _folder: Path) -> None:
    """Everything given, revealed."""
    part = place.blind.made()
    part.show_key()
    journal, tasting = place.journal, part.scoring.tasting
    servings = journal.sessions.servings(id_of(tasting))
    samples = sorted({s.sample_id for s in servings})
    people = list(dict.fromkeys(s.assessor for s in servings))
    for one in servings:
        if not one.given:
            journal.sessions.give(
                one.id, _scored(samples.index(one.sample_id), people, one.assessor)
            )
    part.scoring.refresh()
    part.reveal()


def _all(place: TastingsPlace, _folder: Path) -> None:
    """Every blind session, or every panel test, the newest first."""
    place.shown_part().other()


def _open_sheet(place: TastingsPlace, _folder: Path) -> None:
    """A wheel whose name is known, with an attribute of one's own."""
    place.show_part(OPEN)
    rows = [r for r in place.journal.sessions.wheels() if r.tasted and not r.gone]
    place.open.chooser.chosen.emit(max(rows, key=_tasted))
    place.open.add_attribute("grassy")
    sheet = place.open.sheet
    texts = dict(zip((r.attribute for r in sheet.rows), ("7.5", "7.0", "6.5", "7.0", "5.5",
                     "6.0", "1.5", "7.0"), strict=False))  # fmt: skip
    sheet.show_draft(SheetDraft(texts, (("flavour", "bitter", "slight"),), _WORDS[0]))
    sheet.rows[-1].setFocus()


def _plan_test(place: TastingsPlace, _folder: Path) -> None:
    """A triangle test about to be set up."""
    place.show_part(TESTS)
    part = place.tests.made()
    part.other()
    rows = [r for r in place.journal.sessions.wheels() if r.tasted and not r.gone]
    for row in rows[:2]:
        part.form.cheeses.add(ChipEntry(row.code, SampleIdentity(row.id)))
    for name in place.journal.sessions.people():
        part.form.people.add(ChipEntry(name, name))
    part.form.times.choose("2")


def _answer_test(place: TastingsPlace, _folder: Path) -> None:
    """Its third set is the current one."""
    part = place.tests.made()
    part.main()
    for one in _sets(place.journal)[:2]:
        place.journal.tests.answer(one.id, _odd(place.journal, one.id))
    part.select(2)
    part.set.message.say_if_any("")


def _read_test(place: TastingsPlace, _folder: Path) -> None:
    """Five of six right, revealed."""
    part = place.tests.made()
    sets = _sets(place.journal)
    for one in sets[2:]:
        right = _odd(place.journal, one.id)
        wrong = ((right[0] + 1) % 3,)
        place.journal.tests.answer(one.id, wrong if one is sets[-1] else right)
    part.reveal()


def _panel(place: TastingsPlace, _folder: Path) -> None:
    """The panel."""
    place.show_part(PANEL)


STATES = (
    ("laying", _arrange),
    ("scoring", _score),
    ("paper", _paper),
    ("key", _key),
    ("lifted", _reveal),
    ("sittings", _all),
    ("sheet", _open_sheet),
    ("planning", _plan_test),
    ("test", _answer_test),
    ("answer", _read_test),
    ("tests", _all),
    ("panel", _panel),
)


def _sets(journal: Journal) -> list[HiddenSet]:
    """The sets of the newest panel test."""
    return journal.tests.sets(id_of(journal.tests.rows()[0].test))


def _odd(journal: Journal, set_id: int) -> tuple[int, ...]:
    one = journal.panel_sets.get(set_id)
    assert journal.panel_tests.get(one.panel_test_id).kind == TRIANGLE
    return (one.cups.index(min((0, 1), key=one.cups.count)),)


def _scored(sample: int, people: list[str], who: str) -> ScoredSample:
    """What an assessor gives a sample in these pictures."""
    level = (people.index(who) - 1) / 2 - (0.5 if sample >= len(_GIVEN) else 0.0)
    overall = min(max(_GIVEN[sample % 5] + level, 0.0), 10.0)
    scores = {"overall": overall, "appearance": 7.0, "odour": 6.5, "flavour": overall, "salt": 5.5,
              "acid": 6.0, "bitter": 1.5, "consistency": 7.0}  # fmt: skip
    words = _WORDS[sample % 5] if who == people[-1] else ""
    defects = (("flavour", "bitter", "slight"),) if sample == 2 else ()
    return ScoredSample(scores, defects, words)


def _cut(folder: Path) -> Path:
    """A drawn cut: pale paste, a darker rind."""
    image = QImage(QSize(360, 260), QImage.Format.Format_RGB32)
    image.fill(QColor("#EFE9DD"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor("#8A6E42"))
    painter.drawPie(20, 20, 640, 460, 110 * 16, 70 * 16)
    painter.setBrush(QColor("#E8CF8C"))
    painter.drawPie(34, 34, 612, 432, 110 * 16, 70 * 16)
    painter.end()
    path = folder / "cut.png"
    image.save(str(path))
    return path


def _tasted(row: WheelRow) -> int:
    return row.tasted


def _most_tasted(row: WheelRow) -> tuple[int, str]:
    return -row.tasted, row.code

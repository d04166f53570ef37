"""A photo and a note a visit: dropped, pasted, from a watched folder; in a row, as a wall, and two
beside each other. The originals stay as they are."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDropEvent, QGuiApplication, QImage
from PySide6.QtTest import QTest

from journal.desk.buttons import WordButton
from journal.desk.room.wall import PhotosDialog
from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.tastings import Assessor, Sample, SampleNote, Tasting
from journal.records.wheels import Care
from journal.reports.rinds import wall_of, wheel_touched
from tests.desk.test_rack import BEGUN, CTRL, LEFT, SHIFT, Ageing, K, shelves
from tests.exchange.test_photo_time import jpeg

ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def ageing(window_on, journal: Journal) -> Ageing:
    shelves(journal, 2, 2)
    return Ageing(window_on, journal, 60)


def picture(path: Path, day: float, size: tuple[int, int] = (80, 60), colour: str = "tan") -> Path:
    """A photo whose file was last changed on that day of the make."""
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor(colour))
    assert image.save(str(path))
    at = (BEGUN + day * DAY_MS) / 1000
    os.utime(path, (at, at))
    return path


def drop(ageing: Ageing, paths: list[Path], wheel_id: int) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    spot = ageing.rack.mapTo(ageing.place, ageing.spot(wheel_id))
    event = QDropEvent(QPointF(spot), Qt.DropAction.CopyAction, data, LEFT,
                       Qt.KeyboardModifier.NoModifier)  # fmt: skip
    ageing.place.dropEvent(event)


def said(ageing: Ageing) -> list[WordButton]:
    """The words on the wheel at hand, as they stand on its page."""
    page = ageing.place.wheel
    return [one for one in page.findChildren(WordButton) if one is not page.why]


def test_a_photo_dropped_on_a_wheel_is_its_and_gets_words(ageing, journal, tmp_path, qtbot):
    wheel = journal.wheel_by_code("HL-0001-B")
    taken = picture(tmp_path / "a.png", 59.5)
    before = taken.read_bytes()
    drop(ageing, [taken], wheel.id)
    (note,) = journal.notes.where(wheel_id=wheel.id)
    assert (note.at_ms, note.text) == (BEGUN + round(59.5 * DAY_MS), "")
    assert journal.photos.path(note).read_bytes() == before == taken.read_bytes()
    qtbot.waitUntil(lambda: ageing.place.head.text() == "HL-0001-B")
    assert [photo.code for photo, _ in ageing.place.wheel.rind.shown()] == ["HL-0001-B"]
    # Words go to the photo of this visit.
    ageing.press(K.Key_N)
    ageing.hands.type("blue spots")
    ageing.press(K.Key_Return, CTRL)
    (note,) = journal.notes.where(wheel_id=wheel.id)
    assert (note.text, bool(note.photo)) == ("blue spots", True)
    assert [one.text() for one in said(ageing)] == ["30 Apr: blue spots"]
    # Corrected a week later, in the window, and taken back there.
    ageing.visit(68)
    ageing.page.select(wheel.id)
    qtbot.waitUntil(ageing.window.settled)
    QTest.mouseClick(said(ageing)[0], LEFT)
    ageing.press(K.Key_End)
    ageing.hands.type(", brushed off")
    ageing.press(K.Key_Return, CTRL)
    assert journal.notes.where(wheel_id=wheel.id)[0].text == "blue spots, brushed off"
    for _ in range(3):
        ageing.press(K.Key_Z, CTRL)
    assert journal.notes.all() == []


def test_what_is_no_photo_is_refused_and_keeps_nothing(ageing, journal, tmp_path):
    wheel = journal.wheel_by_code("HL-0001-A")
    good, bad = picture(tmp_path / "a.png", 59), tmp_path / "b.jpg"
    bad.write_text("no picture")
    drop(ageing, [good, bad], wheel.id)
    assert journal.notes.all() == []
    assert "b.jpg" in ageing.place.messages.text("visit")


def test_a_picture_or_words_are_pasted(ageing, journal):
    image = QImage(40, 30, QImage.Format.Format_RGB32)
    image.fill(QColor("tan"))
    QGuiApplication.clipboard().setImage(image)
    code = ageing.code
    ageing.press(K.Key_V, CTRL)
    (note,) = journal.notes.all()
    assert (note.wheel_id, note.at_ms) == (journal.wheel_by_code(code).id, ageing.now)
    assert QImage(str(journal.photos.path(note))).size() == image.size()
    QGuiApplication.clipboard().setText("soft at the edge")
    ageing.press(K.Key_V, CTRL)
    ageing.press(K.Key_Return, CTRL)
    assert journal.notes.all()[-1].text == "soft at the edge"


def test_a_new_photo_of_the_watched_folder_is_offered_to_the_wheel_touched_then(
    ageing, journal, tmp_path, qtbot, window_on
):
    folder = tmp_path / "phone"
    folder.mkdir()
    picture(folder / "old.png", 30)
    visits = ageing.place.visits
    visits.watch(str(folder))
    touched = journal.wheel_by_code("HL-0002-B")
    journal.cares.save(Care(touched.id, "turn", BEGUN + round(59.9 * DAY_MS)))
    ageing.page.select(journal.wheel_by_code("HL-0001-A").id)
    half = (folder / "new.jpg").open("wb")  # arrives in parts
    half.write(b"\xff\xd8")
    half.close()
    QTest.qWait(0)
    assert not visits.has_coming()
    picture(folder / "new.jpg", 59.95)
    shown = ageing.place.messages
    qtbot.waitUntil(lambda: "new.jpg" in shown.text("photo came"))
    assert "of HL-0002-B, the wheel last touched then?" in shown.text("photo came")
    ageing.press(K.Key_N, CTRL | SHIFT)
    (note,) = journal.notes.all()
    assert (note.wheel_id, note.at_ms) == (touched.id, BEGUN + round(59.95 * DAY_MS))
    assert shown.text("photo came") == ""
    # The next window offers what came meanwhile, and nothing twice.
    ageing.window.close()
    picture(folder / "later.png", 60.9)
    again = Ageing(window_on, journal, 61)
    assert "later.png" in again.place.messages.text("photo came")
    assert not wheel_touched(journal, BEGUN + round(61 * DAY_MS))
    assert "the wheel at hand?" in again.place.messages.text("photo came")


def test_the_wall_has_ages_across_and_makes_down_without_hidden_cuts(ageing, journal, tmp_path):
    one, other = journal.wheel_by_code("HL-0001-A"), journal.wheel_by_code("HL-0002-A")
    for day, wheel in ((28, one), (33, one), (58, one), (59, other)):
        ageing.place.visits.save([picture(tmp_path / f"{day}.png", day)], wheel)
    cut = journal.photos.bring(picture(tmp_path / "cut.png", 59))
    who = journal.assessors.save(Assessor("Wen"))
    for hidden in (True, False):
        at = BEGUN + 59 * DAY_MS
        session = journal.tastings.save(Tasting(at, lifted_ms=None if hidden else at))
        sample = journal.samples.save(Sample(session.id, other.id))
        journal.sample_notes.save(SampleNote(sample.id, who.id, "", cut))
    wall = wall_of(journal)
    assert wall.ages == ("30 days", "2 months")
    assert [row.code for row in wall.rows] == ["HL-0001", "HL-0002"]
    assert [len(wall.rows[0].photos[column]) for column in (0, 1)] == [2, 1]
    assert [photo.note_id is None for photo in wall.rows[1].photos[1]] == [False, True]


def test_two_stand_beside_each_other_upright_at_one_scale(ageing, journal, tmp_path, qtbot):
    wheel = journal.wheel_by_code("HL-0001-A")
    large = picture(tmp_path / "large.png", 20, (1200, 800), "tan")
    lying = tmp_path / "lying.jpg"
    picture(lying, 50, (300, 200), "olive")
    lying.write_bytes(_turned(lying.read_bytes()))  # by its camera it stands upright
    ageing.place.visits.save([large, lying], wheel)
    ageing.press(K.Key_N, SHIFT)
    dialog = ageing.place.findChild(PhotosDialog)
    qtbot.waitUntil(dialog.isVisible)
    qtbot.waitUntil(lambda: dialog.wall.settled)
    QTest.keyClick(dialog.wall, K.Key_Return)
    assert [p.age_days for p, _ in dialog.pair._pair] == [20, 60]
    shapes = [(image.width(), image.height()) for _, image in dialog.pair._pair]
    assert shapes == [(1600, 1066), (1066, 1600)]  # turned, and of one size
    assert len(set(dialog.pair.scales())) == 1
    before = dialog.pair.scales()[0]
    QTest.keyClick(dialog.pair, K.Key_Plus)
    assert dialog.pair.scales()[0] == pytest.approx(1.25 * before)
    QTest.keyClick(dialog.pair, K.Key_Escape)
    assert dialog.pages.currentIndex() == 0
    QTest.keyClick(dialog.wall, K.Key_Escape)
    qtbot.waitUntil(lambda: not dialog.isVisible())


def _turned(photo: bytes) -> bytes:
    """The photo with an Exif part that says: turn by a quarter."""
    tiff = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"
    part = b"Exif\0\0" + tiff
    return photo[:2] + b"\xff\xe1" + (len(part) + 2).to_bytes(2, "big") + part + photo[2:]


def test_a_photo_in_the_future_or_before_the_make_is_of_now(ageing, journal, tmp_path):
    wheel = journal.wheel_by_code("HL-0001-A")
    path = tmp_path / "a.jpg"
    picture(path, 59)
    for taken in ("2031:01:01 10:00:00", "2020:01:01 10:00:00"):
        path.write_bytes(jpeg(taken)[:-2] + path.read_bytes()[2:])
        ageing.place.visits.save([path], wheel)
        picture(path, 59)
    assert [note.at_ms for note in journal.notes.all()] == [ageing.now] * 2
    assert BEGUN + 60 * DAY_MS - ageing.now < MINUTE_MS

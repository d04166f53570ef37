"""A photo and a note a visit: dropped, pasted, from a watched folder; in a row, as a wall, and two
beside each other. The originals stay as they are."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QSize, Qt, QUrl
from PySide6.QtGui import QColor, QDropEvent, QGuiApplication, QImage, QPainter, QTransform
from PySide6.QtTest import QTest

from journal.desk.buttons import WordButton
from journal.desk.photo_file import read_photo
from journal.desk.room.wall import PhotosDialog
from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.tastings import Assessor, Sample, SampleNote, Tasting
from journal.records.wheels import Care
from journal.reports.rinds import wall_of, wheel_touched
from tests.desk.hands import key_for
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


def output(ageing: Ageing) -> list[WordButton]:
    """The words on the selected wheel, as they stand on its page."""
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
    assert [point.key.code for point in ageing.place.wheel.rind.points()] == ["HL-0001-B"]
    # Words go to the photo of this visit.
    ageing.press(K.Key_N)
    ageing.hands.type("blue spots")
    ageing.press(K.Key_Return, CTRL)
    (note,) = journal.notes.where(wheel_id=wheel.id)
    assert (note.text, bool(note.photo)) == ("blue spots", True)
    assert [one.text() for one in output(ageing)] == ["30 Apr: blue spots"]
    # Corrected a week later, in the window, and taken back there.
    ageing.visit(68)
    ageing.page.select(wheel.id)
    qtbot.waitUntil(ageing.window.settled)
    QTest.mouseClick(output(ageing)[0], LEFT)
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
    ageing.press(*key_for("save"))
    (note,) = journal.notes.all()
    assert (note.wheel_id, note.at_ms) == (touched.id, BEGUN + round(59.95 * DAY_MS))
    assert shown.text("photo came") == ""
    # The next window offers what came meanwhile, and nothing twice.
    ageing.window.close()
    picture(folder / "later.png", 60.9)
    again = Ageing(window_on, journal, 61)
    assert "later.png" in again.place.messages.text("photo came")
    assert not wheel_touched(journal, BEGUN + round(61 * DAY_MS))
    assert "the selected wheel?" in again.place.messages.text("photo came")


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
    assert [one.photo.age_days for one in dialog.pair._pair] == [20, 60]
    shapes = [(one.image.width(), one.image.height()) for one in dialog.pair._pair]
    assert shapes == [(1600, 1066), (1066, 1600)]  # turned, and of one size
    assert len(set(dialog.pair.scales())) == 1
    before = dialog.pair.scales()[0]
    QTest.keyClick(dialog.pair, K.Key_Plus)
    assert dialog.pair.scales()[0] == pytest.approx(1.25 * before)
    QTest.keyClick(dialog.pair, K.Key_Escape)
    assert dialog.pages.currentIndex() == 0
    QTest.keyClick(dialog.wall, K.Key_Escape)
    qtbot.waitUntil(lambda: not dialog.isVisible())


def disc(path: Path, day: float, size: tuple[int, int], at: tuple[int, int], radius: int) -> Path:
    """A photo of a round wheel, red on white."""
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setBrush(QColor("red"))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawEllipse(QPoint(*at), radius, radius)
    painter.end()
    assert image.save(str(path))
    taken = (BEGUN + day * DAY_MS) / 1000
    os.utime(path, (taken, taken))
    return path


def reds(widget) -> list[int]:
    """How wide the red of each half of what is seen is, px, along its middle."""
    seen = widget.grab().toImage()
    middle, half = (seen.height() - 48) // 2, seen.width() // 2
    row = [seen.pixelColor(x, middle) for x in range(seen.width())]
    red = [c.red() > 200 and c.green() < 60 for c in row]
    return [sum(red[:half]), sum(red[half:])]


def test_two_photos_are_at_one_scale_by_their_rims_once_these_are_marked(
    ageing, journal, tmp_path, qtbot
):
    wheel, other = (journal.wheel_by_code(f"HL-0001-{letter}") for letter in "AB")
    near = disc(tmp_path / "near.png", 20, (1200, 800), (600, 400), 300)
    far = disc(tmp_path / "far.png", 50, (800, 1200), (300, 500), 120)
    before = near.read_bytes(), far.read_bytes()
    ageing.place.visits.save([near], wheel)
    ageing.place.visits.save([far], other)
    ageing.press(K.Key_N, SHIFT)
    dialog = ageing.place.findChild(PhotosDialog)
    qtbot.waitUntil(lambda: dialog.isVisible() and dialog.wall.settled)
    for photo in [p for row in dialog._all.rows for ps in row.photos.values() for p in ps]:
        dialog.wall.select(photo)
        dialog.wall.mark()
    QTest.keyClick(dialog.wall, K.Key_Return)
    pair = dialog.pair
    assert "Only their sides are as long: mark the rim of HL-0001-A" in dialog.message.text()
    wide = reds(pair)
    assert wide[0] > 1.5 * wide[1]
    # The first by the mouse, from one side of the wheel to the other.
    QTest.mouseClick(dialog.mark, LEFT)
    box = pair._box(0)
    left, right = (
        (box.topLeft() + QPointF(x / 1200, 400 / 1200) * box.width()).toPoint() for x in (300, 900)
    )
    QTest.mousePress(pair, LEFT, pos=left)
    QTest.mouseMove(pair, (left + right) / 2)
    QTest.mouseMove(pair, right)
    QTest.mouseRelease(pair, LEFT, pos=right)
    QTest.keyClick(pair, K.Key_Return)
    # The other by keys: moved and sized until it fits.
    assert pair.marking == 1
    for _ in range(6):
        QTest.keyClick(pair, K.Key_Left)
    QTest.keyClick(pair, K.Key_Right)
    for _ in range(6):
        QTest.keyClick(pair, K.Key_Up)
    while pair._pair[1].rim.radius * 800 > 121:
        QTest.keyClick(pair, K.Key_Minus, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(pair, K.Key_Return)
    assert pair.marking is None
    assert dialog.message.text().startswith("At one scale, by the rims: they are drawn as wide")
    one, two = reds(pair)
    assert one == pytest.approx(two, rel=0.05)
    rims = {note.wheel_id: note.rim for note in journal.notes.all()}
    assert rims[wheel.id] == pytest.approx((0.5, 1 / 3, 0.25), abs=0.01)
    assert rims[other.id] == pytest.approx((0.4, 500 / 800, 0.15), abs=0.03)
    assert tuple(journal.photos.path(n).read_bytes() for n in journal.notes.all()) == before
    # By the widths of the wheels, where both are known; a new look knows the rims again.
    QTest.keyClick(pair, K.Key_Escape)
    QTest.keyClick(dialog.wall, K.Key_Escape)
    for made, mm in ((wheel, 100.0), (other, 200.0)):
        journal.wheels.save(replace(made, diameter_mm=mm))
    ageing.press(K.Key_N, SHIFT)
    again = [d for d in ageing.place.findChildren(PhotosDialog) if d.isVisible()][-1]
    again.pair.show_pair([p for row in again._all.rows for ps in row.photos.values() for p in ps])
    again.pages.setCurrentIndex(1)
    assert again.pair.by_widths
    one, two = reds(again.pair)
    first = again.pair._pair[0].photo.wheel_id
    assert (two / one if first == wheel.id else one / two) == pytest.approx(2.0, rel=0.06)
    QTest.keyClick(again.pair, K.Key_Escape)
    QTest.keyClick(again.wall, K.Key_Escape)
    ageing.window.activateWindow()
    qtbot.waitUntil(ageing.window.isActiveWindow)
    # And a week later it is taken back.
    ageing.visit(68)
    for _ in range(4):
        ageing.press(K.Key_Z, CTRL)
    assert {note.rim for note in journal.notes.all()} == {()}


@pytest.mark.parametrize("says", range(1, 9))
def test_a_photo_stands_upright_however_the_camera_was_held(tmp_path, says, qapp):
    """All eight that Exif has: red is at the top left of the upright picture, blue beside it."""
    upright = QImage(60, 40, QImage.Format.Format_RGB32)
    upright.fill(QColor("white"))
    painter = QPainter(upright)
    painter.fillRect(0, 0, 20, 20, QColor("red"))
    painter.fillRect(20, 0, 20, 20, QColor("blue"))
    painter.end()
    back = {
        1: QTransform(), 2: QTransform().scale(-1, 1), 3: QTransform().rotate(180),
        4: QTransform().scale(1, -1), 5: QTransform().rotate(90).scale(1, -1),
        6: QTransform().rotate(-90), 7: QTransform().rotate(-90).scale(1, -1),
        8: QTransform().rotate(90),
    }  # fmt: skip
    path = tmp_path / "held.jpg"
    assert upright.transformed(back[says]).save(str(path), quality=100)
    path.write_bytes(_turned(path.read_bytes(), says))
    before = path.read_bytes()
    seen = read_photo(path, QSize(60, 60))
    assert (seen.width(), seen.height()) == (60, 40)
    assert seen.pixelColor(10, 10).red() > 200 > seen.pixelColor(30, 10).red()
    assert seen.pixelColor(30, 10).blue() > 200 > seen.pixelColor(10, 10).blue()
    assert min(seen.pixelColor(x, 30).green() for x in (10, 30, 50)) > 200
    assert path.read_bytes() == before


def _turned(photo: bytes, says: int = 6) -> bytes:
    """The photo with an Exif part that says how the camera was held: 6 is by a quarter."""
    tiff = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0" + bytes([says]) + b"\0\0\0\0\0\0"
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

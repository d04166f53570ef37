"""Pictures of places: really drawn, of the size asked for, light and dark, empty and full."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage

from journal.desk.pictures import draw_pictures
from journal.desk.shots import Shot
from journal.desk.theme import colours

SHOTS = (
    Shot("", QSize(1280, 720)),
    Shot("dark", QSize(1280, 720), "dark"),
    Shot("twofold", QSize(1280, 720), "light", 2.0),
)


def test_the_vat_is_drawn(qapp, tmp_path, sample_file):
    made = draw_pictures(tmp_path, sample_file, shots=SHOTS, places=("vat",))
    assert [path.name for path in made] == [
        "vat.png", "vat-dark.png", "vat-twofold.png", "vat-empty.png", "vat-empty-dark.png",
    ]  # fmt: skip
    sizes = [QImage(str(path)).size() for path in made]
    assert sizes[:3] == [QSize(1280, 720), QSize(1280, 720), QSize(2560, 1440)]


def test_what_is_drawn_has_ink_and_the_right_paper(qapp, tmp_path, sample_file):
    made = draw_pictures(tmp_path, sample_file, shots=SHOTS[:2], places=("vat",), with_empty=False)
    for path, dark in zip(made, (False, True), strict=True):
        image = QImage(str(path))
        side = colours(dark)
        assert image.pixelColor(5, 5) == side.paper
        row = [image.pixelColor(x, 102).name() for x in range(30, 380)]  # through the title
        assert side.ink.name() in row


def test_nothing_is_left_of_the_drawing(qapp, tmp_path, sample_file):
    before = sample_file.read_bytes()
    draw_pictures(tmp_path, sample_file, shots=SHOTS[:1], places=("vat",), with_empty=False)
    assert sample_file.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["vat.png"]

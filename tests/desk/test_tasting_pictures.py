"""Pictures of a session, a panel test and the panel: every state is reached and drawn."""

from __future__ import annotations

import itertools
import shutil

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage

from journal.desk.shots import Shot
from journal.desk.tastings.scenes import draw_session
from journal.desk.theme import Look, colours
from journal.keeping import Journal

SMALL = Shot("small", QSize(1280, 720))


def test_every_state_of_a_sitting_is_drawn(qapp, tmp_path, sample_file):
    path = tmp_path / "sitting.vatside"
    shutil.copy(sample_file, path)
    with Journal.open(path, read_only=True) as journal:
        before = len(journal.sessions.revealed())
    look = Look(qapp, "light")
    made = list(draw_session(qapp, look, path, tmp_path, (SMALL,)))
    look.deleteLater()
    assert [p.stem for p in made] == [
        f"tastings-{name}-small"
        for name in ("laying", "scoring", "paper", "key", "lifted", "sittings", "sheet", "planning",
                     "test", "answer", "tests", "panel")
    ]  # fmt: skip
    pictures = [QImage(str(p)) for p in made]
    assert all(picture.size() == QSize(1280, 720) for picture in pictures)
    assert all(picture.pixelColor(5, 5) == colours(False).paper for picture in pictures)
    assert all(a != b for a, b in itertools.pairwise(pictures))
    with Journal.open(path, read_only=True) as journal:
        assert len(journal.sessions.revealed()) == before + 1
        assert journal.tests.rows()[0].test.lifted_ms is not None
        found = journal.tests.counted(journal.tests.rows()[0].test.id)
        assert (found.right, found.answers) == (5, 6)
        assert journal.check() == []

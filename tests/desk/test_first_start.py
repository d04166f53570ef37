"""The first start: the sample says that it is one, and a second start finds the first window."""

from __future__ import annotations

import shutil
from functools import partial

from journal.desk import settings as remembered
from journal.desk.app import bring_forward
from journal.desk.single import FirstWindow, hand_over
from journal.keeping import Journal
from tests import present


def test_the_sample_says_that_it_is_one_and_its_alarms_are_silent(
    sample_file, window_on, tmp_path, monkeypatch
):
    monkeypatch.setattr(remembered, "data_folder", lambda: tmp_path)
    path = tmp_path / remembered.SAMPLE_NAME
    shutil.copy(sample_file, path)
    with Journal.open(path) as journal:
        window = window_on(journal, clock=present.now)
        assert window.current.messages.text("sample").startswith("A sample kitchen")
        assert window.desk.alarm.loudness == 0.0
        window.close()


def test_a_journal_of_ones_own_says_nothing_of_a_sample_and_rings(kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock)
    assert window.current.messages.text("sample") == ""
    assert window.desk.alarm.loudness == 1.0


def test_a_second_start_brings_the_window_forward_with_its_file(
    qtbot, kitchen, window_on, tmp_path
):
    name = f"vatside-test-{tmp_path.name}"
    assert not hand_over(name, None)
    window = window_on(kitchen.journal, clock=kitchen.clock)
    first = FirstWindow(name)
    first.asked.connect(partial(bring_forward, window))
    window.hide()
    assert hand_over(name, None)
    qtbot.waitUntil(window.isVisible)
    other = tmp_path / "other.vatside"
    Journal.create(other, letters="OT", zone="UTC").close()
    assert hand_over(name, str(other))
    qtbot.waitUntil(lambda: window.journal.letters == "OT")
    first.close()
    assert not hand_over(name, None)
    window.journal.close()

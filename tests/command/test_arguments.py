"""How arguments are read: repeated options, pairs, the window's file."""

from __future__ import annotations

import pytest

from journal.command.bringing import COMMANDS
from journal.command.error import CommandError
from journal.command.parser import pairs, spelt_out

READINGS, MAKES = COMMANDS


@pytest.mark.parametrize(
    ("command", "words", "spelt"),
    [
        (READINGS, "f m c --time Date Clock", "f m c --time Date --time Clock"),
        (READINGS, "f m --time Date c", "f m --time Date c"),
        (READINGS, "f m c --map a=b c=d --json", "f m c --map a=b --map c=d --json"),
        (READINGS, "f m c --unit degF --map a=b", "f m c --unit degF --map a=b"),
        (READINGS, "--preview f m c --map a=b d=e", "--preview f m c --map a=b --map d=e"),
        (MAKES, "f t --score A B", "f t --score A --score B"),
        (MAKES, "--score A f t B", "--score A f t --score B"),
        (MAKES, "f t u", "f t u"),
    ],
)
def test_a_repeated_option_may_be_said_once(command, words, spelt):
    assert spelt_out([command.name, *words.split()], command) == [command.name, *spelt.split()]


def test_pairs_are_cut_at_the_last_mark():
    assert pairs(["a=b=c", " x = 1 "], "a=b") == [("a=b", "c"), ("x", "1")]
    assert pairs(None, "a=b") == []
    with pytest.raises(CommandError, match=r"command.not-understood .*a=b"):
        pairs(["a"], "a=b")


def test_two_columns_make_the_time(run, begun, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("d,c,t,p\n2026-07-14,08:00,31,6.5\n2026-07-14,08:05,31,6.4\n")
    done = run("import-readings", begun, "latest", log, "--time", "d", "c",
               "--map", "t=milk-temp", "p=curd-ph", "--json")  # fmt: skip
    assert done.data["kept"] == 4


def test_the_window_needs_a_display_and_one_file(refused, begun, monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    assert "no display" in refused(begun)
    assert "no display" in refused()
    assert "one journal" in refused(begun, "more")

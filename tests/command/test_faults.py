"""Every fault is one sentence with exit code 2, and nothing is changed."""

from __future__ import annotations

import subprocess
import sys

import pytest

from journal.command.groups import COMMANDS

from .conftest import fingerprint

BAD = [
    ("log", "{}", "HL-0099", "milk-temp", "31"),
    ("log", "{}", "latest", "milk-temp", "500"),
    ("log", "{}", "latest", "milk-temp", "31", "--at", "2026-13-01"),
    ("log", "{}", "latest", "milk-temp", "31", "--at", "9999-01-01"),
    ("log", "{}", "latest", "milk-temp"),
    ("log", "{}", "latest", "milk-temp", "31", "--att", "now"),
    ("stage", "{}", "latest", "begin"),
    ("stage", "{}", "latest", "end", "--at", "2020-01-01"),
    ("finish", "{}", "latest", "--wheel", "900kg"),
    ("score", "{}", "HL-0001-A", "--assessor", "Moss", "overall=7"),  # not finished: no wheel
    ("begin", "{}", "--plan", "none such", "--milk", "12l"),
    ("import-readings", "{}", "latest", "no-such.csv"),
    ("import-readings", "{}", "latest", "{}"),
    ("import-makes", "{}", "no-such.csv"),
    ("import-makes", "{}", "{}"),
    ("sample", "{}"),
    ("deviation", "{}", "HL-0099"),
    ("deviation", "{}", "latest", "--clock", "moon"),
    ("forecast", "{}", "latest", "--ph", "sour"),
    ("forecast", "{}", "latest", "--ph", "12"),
    ("forecast", "{}", "latest", "--ph", "5.4", "--of", "rind"),
    ("findings", "{}", "--score", "overall"),
    ("findings", "{}"),
    ("nonsense", "{}"),
]


@pytest.mark.parametrize("words", BAD, ids=lambda words: " ".join(words[:1] + words[2:]))
def test_one_sentence_and_nothing_changed(begun, refused, words):
    before = fingerprint(begun)
    refused(*(word.format(begun) for word in words))
    assert fingerprint(begun) == before
    assert [path.name for path in begun.parent.iterdir()] == [begun.name]


@pytest.mark.parametrize(
    "words",
    [
        ("makes", "{}"),
        ("log", "{}", "latest", "milk-temp", "31"),
        ("check", "{}"),
        ("export", "{}", "out"),
        ("deviation", "{}", "latest"),
        ("pictures", "out", "--journal", "{}"),
    ],
)
@pytest.mark.parametrize("other", ["missing", "text", "folder"])
def test_a_file_that_is_no_journal(tmp_path, refused, words, other):
    path = tmp_path / "other.vatside"
    if other == "text":
        path.write_text("no journal at all, but long enough to be looked at. " * 20)
    if other == "folder":
        path.mkdir()
    refused(*(word.format(path) for word in words))
    assert path.exists() == (other != "missing")


def test_a_damaged_journal_is_told_and_not_touched(begun, run):
    data = bytearray(begun.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    begun.write_bytes(data)
    before = fingerprint(begun)
    assert run("check", begun).code == 1
    done = run("makes", begun)
    assert done.code == 2
    assert done.err.count("\n") == 1
    assert fingerprint(begun) == before


def test_a_misspelt_command_gets_a_hint(refused):
    assert "“makes”" in refused("mkaes")


def test_every_command_has_help(run):
    whole = run("--help").out
    for command in COMMANDS:
        done = run(command.name, "--help")
        assert done.code == 0
        assert command.name in done.out
        assert command.name in whole


def test_the_real_command(begun):
    words = [sys.executable, "-P", "-m", "journal.command"]
    good = subprocess.run([*words, "makes", begun, "--json"], capture_output=True, check=False)
    assert good.returncode == 0
    assert good.stdout.lstrip().startswith(b"[")
    assert good.stderr == b""
    bad = subprocess.run([*words, "makes", "nowhere"], capture_output=True, check=False)
    assert bad.returncode == 2
    assert bad.stdout == b""
    assert bad.stderr.count(b"\n") == 1


@pytest.mark.parametrize(
    ("words", "unloaded"),
    [
        ("--help", "PySide6 pyqtgraph scipy pint sqlite_utils sqlite3 openpyxl"),
        ("makes {}", "PySide6 pyqtgraph scipy pint sqlite_utils openpyxl"),
        ("deviation {} latest", "PySide6 pyqtgraph scipy pint sqlite_utils openpyxl"),
        ("log {} latest milk-temp 31.4", "PySide6 pyqtgraph scipy pint sqlite_utils openpyxl"),
    ],
)
def test_short_commands_load_nothing_heavy(begun, words, unloaded):
    code = (
        "import sys\nbefore = set(sys.modules)  # a measure of the tests has some there\n"
        "from journal.command import main\n"
        f"code = main({words.format(begun).split()!r})\n"
        f"loaded = [name for name in {unloaded.split()!r} if name in sys.modules.keys() - before]\n"
        "assert code == 0, code\nassert not loaded, loaded\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


@pytest.mark.parametrize(
    "words",
    [
        ("deviation", "er/j.vatside", "latest"),
        ("makes", "er/j.vatside"),
        ("export", "{}", "er/j.csv"),
        ("pictures", "er/j.csv"),
        ("findings", "er", "--score", "overall"),
    ],
)
def test_names_of_files_are_never_altered(begun, refused, monkeypatch, words):
    folder = begun.parent / "er"
    folder.mkdir()
    (folder / "j.csv").write_text("milk")
    monkeypatch.chdir(begun.parent)
    output = refused(*(word.format(begun) for word in words))
    assert "er" in output.replace("/", " ").split()
    assert "Er" not in output


def test_what_is_wrong_with_the_words_themselves_begins_like_a_sentence(refused, begun):
    assert refused("log", begun, "latest", "milk-temp").startswith("The following")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="there is no /proc elsewhere")
def test_a_folder_that_cannot_be_made_is_a_sentence(refused):
    assert refused("pictures", "/proc/aa") == (
        "The folder /proc/aa cannot be made. Name another for the pictures."
    )

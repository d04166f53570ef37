"""A file of sentences in another language reaches all that a command says, refused or answered."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.reports.agenda import agenda_of
from journal.wording import Style, use_style
from journal.wording.sentences import ROOMS, catalogue


@pytest.fixture(autouse=True)
def _bracketed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The language in use says what English says, between ‹ and ›."""
    sentences = {name: text for room in ROOMS for name, text in catalogue(room).items()}
    lines = [f'"{name}" = {json.dumps(f"‹{text}›", ensure_ascii=False)}'
             for name, text in sentences.items() if isinstance(text, str)]  # fmt: skip
    folder = tmp_path / "vatside" / "languages"
    folder.mkdir(parents=True)
    text = "\n".join(['name = "Bracketed"', "[messages]", *lines])
    (folder / "qb.toml").write_text(text, encoding="utf-8")
    (tmp_path / "Vatside").mkdir()
    (tmp_path / "Vatside" / "vatside.ini").write_text("[preferences]\nlanguage=qb\n")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    yield
    use_style(Style())


@pytest.mark.parametrize("words", [
    ["maks"], ["makes"], ["sample", "s.vatside", "--makes", "0"], ["unbundle", "gone.zip", "."],
    ["import-readings", "{kitchen}", "latest", "no.csv"], ["begin", "{kitchen}", "--milk", "9l"],
    ["begin", "{kitchen}", "--plan", "moon", "--milk", "9l"], ["session-key", "{kitchen}", "1"],
    ["import-makes", "{kitchen}", "{table}"], ["due", "{kitchen}", "--on", "2020-01-01"],
    ["export-plan", "builtin", "tomme", "p.txt"], ["reckon", "brine", "salt="],
])  # fmt: skip
def test_what_is_refused_is_said_in_the_language(kitchen, refused, tmp_path, words):
    table = tmp_path / "makes.csv"
    table.write_text("date,v,overall\n01/02/2025,3,7\n02/03/2025,4,8\n", "utf-8")
    answer = refused(*(word.format(kitchen=kitchen, table=table) for word in words))
    assert (answer[0], answer.rstrip(".")[-1]) == ("‹", "›")


def test_what_there_is_to_do_is_said_in_the_language(begun):
    use_style(Style(language="qb"))
    with Journal.open(begun, read_only=True) as journal:
        lines = agenda_of(journal, journal.makes.newest(1)[0].started_ms).now
    assert lines
    assert {text[0] + text[-1] for line in lines for text in (line.title, line.when)} == {"‹›"}


def test_what_is_answered_is_said_in_the_language(begun, run, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("Time,Milk (°C),pH\n2026-07-14 10:00,32,x\n2026-07-14 10:10,33,6.5\n", "utf-8")
    for words in (
        ["check", begun], ["wheels", begun], ["backups", begun], ["room", begun], ["tests", begun],
        ["import-readings", begun, "latest", str(log)], ["stage", begun, "latest", "end"],
        ["room", begun, "Cellar", "--temp", "12C"], ["fail", begun, "latest", "--undo"],
        ["make-page", begun, "latest", str(tmp_path / "make.html")],
    ):  # fmt: skip
        done = run(*words)
        outside = done.out + done.err
        while (fewer := re.sub(r"‹[^‹›]*›", "", outside)) != outside:
            outside = fewer
        assert not re.search(r"[a-z]{3,} [a-z]{2,}", outside), (words, done)
    page = (tmp_path / "make.html").read_text(encoding="utf-8")
    assert page.count("<h2>‹") == page.count("<h2>") > 0

"""A file of sentences in another language reaches all that a command says, refused or answered."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from journal.command import answer
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


# What no language words: names that were typed, files, units, and what is typed back as it stands.
AS_IT_IS = {
    "ellar", "cheddar", "type", "kitchen", "vatside", "backups",  # a room, a plan, files
    "care", "weighing",  # names of records, as “correct” takes them
    "warm", "ripen",  # stages of a plan
    "mport", "ended",  # an act as it was kept; a column no catalogue names, but a language may
    "days",  # °C days
    "brine", "baume", "density", "salometer", "water",  # keys of a sum, as --json has them
}  # fmt: skip


def test_what_is_answered_is_said_in_the_language(begun, run, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("Time,Milk (°C),pH\n2026-07-14 10:00,32,x\n2026-07-14 10:10,33,6.5\n", "utf-8")
    for words in (
        ["check", begun], ["wheels", begun], ["backups", begun], ["room", begun], ["tests", begun],
        ["import-readings", begun, "latest", str(log)], ["stage", begun, "latest", "end"],
        ["room", begun, "Cellar", "--temp", "12C"], ["fail", begun, "latest", "--undo"],
        ["make-page", begun, "latest", str(tmp_path / "make.html")], ["backup", begun],
        ["finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00"],
        ["move", begun, "HL-0001-A", "Cellar"], ["care", begun, "HL-0001-A", "turn"],
        ["care", begun, "HL-0001-A"], ["makes", begun], ["history", begun], ["bin", begun],
        ["wheels", begun], ["ready", begun], ["open", begun, "2027-06-01"], ["room", begun],
        ["deviation", begun, "latest"], ["reckon", "brine", "baume=20"], ["milk", begun],
        ["score", begun, "HL-0001-A", "overall=7", "--assessor", "Ada"], ["parts", begun],
        ["test-set-up", begun, "paired", "--attribute", "salt", "--reference", "A",
         "--reference", "B", "--assessor", "Ada"], ["tests", begun], ["series", begun],
    ):  # fmt: skip
        done = run(*words)
        outside = (done.out + done.err).replace(str(tmp_path), "")
        while (fewer := re.sub(r"‹[^‹›]*›", "", outside)) != outside:
            outside = fewer
        assert set(re.findall(r"[a-z]{4,}", outside)) <= AS_IT_IS, (words, done)
    page = (tmp_path / "make.html").read_text(encoding="utf-8")
    assert page.count("<h2>‹") == page.count("<h2>") > 0


def test_every_heading_of_a_column_has_a_word_but_signs():
    heads = set()
    for path in Path(answer.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "AnswerColumn":
                heads |= {one.value for one in node.args[2:3] if isinstance(one, ast.Constant)}
    known = catalogue("command")
    wordless = {one for one in heads if f"command.head-{one.replace(' ', '-')}" not in known}
    assert wordless == {"", "pH", "p", "rho", "80 %", "95 %"}

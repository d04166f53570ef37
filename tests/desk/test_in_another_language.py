"""A file of sentences in another language reaches every text that is put together on a screen."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path
from zoneinfo import available_timezones

import pytest

from journal.desk.form.frame import FramedDialog
from journal.desk.places import PLACES
from journal.desk.preferences import choose
from journal.desk.tastings.place import BLIND, PANEL, TESTS
from journal.records.kinds import STAGE_KINDS
from journal.records.panel_tests import TEST_KINDS
from journal.wording.keys import is_key_use, with_keys
from journal.wording.sentences import ROOMS, catalogue
from tests import present
from tests.desk.test_help import texts_of

ROOT = Path(__file__).resolve().parents[2]
INNERMOST = re.compile(r"⟦[^⟦⟧]*⟧")
WORD = re.compile(r"[^\W\d_]{3,}")
# What is written without a sentence: the parts of a plan's cells as they are typed, a date, an
# age, the closed lists, a key behind what it does.
CELLS = "intervals min at and day days late to every other week weeks month months old"
CALENDAR = """Mon Tue Wed Thu Fri Sat Sun Monday Tuesday Wednesday Thursday Friday Saturday Sunday
Jan Feb Mar Apr May Jun Jul Aug Sep Sept Oct Nov Dec January February March April June July August
September October November December"""
LISTS = " ".join((*STAGE_KINDS, *TEST_KINDS))
A_KEY = re.compile(
    r"(?:^|  )(?:(?:Ctrl|Shift|Alt)\+)*(?:[A-Z←]|F\d+|Enter|Esc|Ins)$|^[A-Z] (?=list$)"
)


@pytest.fixture
def marked_language(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A language that has every sentence, in brackets."""
    folder = tmp_path / "vatside" / "languages"
    folder.mkdir(parents=True)
    sentences = {name: text for room in ROOMS for name, text in catalogue(room).items()
                 if isinstance(text, str)}  # fmt: skip
    lines = [f"{json.dumps(name)} = {json.dumps(f'⟦{sentences[name]}⟧')}" for name in sentences]
    texts = [f"{json.dumps(text)} = {json.dumps(f'⟦{text}⟧')}" for text in sorted(literals())]
    lines = ["[messages]", *lines, "[texts]", *texts]
    (folder / "xm.toml").write_text("\n".join(lines), encoding="utf-8")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    return "xm"


def literals() -> set[str]:
    """The texts that stand in the program as they are shown, a key filled in."""
    found = {
        node.value
        for path in (ROOT / "journal").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    return found | {
        with_keys(text)
        for text in found
        if (keys := re.findall(r"\{key:(.*?)\}", text)) and all(map(is_key_use, keys))
    }


def journal_words(journal) -> set[str]:
    """What was typed into it, and the tables of the trade, are in the language they are in."""
    tables = (ROOT / "resources" / "tables").glob("*.csv")
    texts = [path.read_text(encoding="utf-8") for path in tables]
    for (table,) in journal._db.execute("select name from sqlite_master where type = 'table'"):
        texts += [str(row) for row in journal._db.execute(f'select * from "{table}"')]
    return {word for text in texts for word in WORD.findall(text)}


def without_sentences(text: str) -> str:
    while text != (text := INNERMOST.sub("", text)):
        pass
    return text


def test_every_text_put_together_on_a_screen_is_of_the_language(
    sample, window_on, qtbot, saved, marked_language
):
    english = literals()
    choose(saved, "language", marked_language)
    window = window_on(sample, clock=present.now)
    shown: set[str] = set()
    for entry in PLACES:
        window.go(entry.key)
        qtbot.waitUntil(window.settled, timeout=60_000)
        shown |= texts_of(window)
    for name in ("settings", "keys", "bin", "history"):
        window.run(name)
        dialog = next(one for one in window.findChildren(FramedDialog) if one.isVisible())
        qtbot.waitUntil(window.settled, timeout=60_000)
        shown |= (texts_of(dialog) | {dialog.windowTitle()}) - available_timezones()
        dialog.reject()
    for part in (BLIND, TESTS, PANEL):
        window.go("tastings")
        window.current.show_part(part)
        qtbot.waitUntil(window.settled, timeout=60_000)
        shown |= texts_of(window.current)
    own = {
        word.lower() for word in (*journal_words(sample), *f"{CELLS} {CALENDAR} {LISTS}".split())
    }
    left = {
        text: words
        for text in {A_KEY.sub("", one) for one in shown} - english
        if (words := {one.lower() for one in WORD.findall(without_sentences(text))} - own)
    }
    assert left == {}
    shown |= {one.title for one in window.commands()}
    plain = {A_KEY.sub("", one) for one in shown & english}
    assert {one for one in plain if set(WORD.findall(one.lower())) - own} == set()
    assert sum("⟦" in text for text in shown) > 200

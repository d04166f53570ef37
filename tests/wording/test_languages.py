"""Another language is a file of sentences, found by its name; what it lacks is said in English."""

from __future__ import annotations

from pathlib import Path

import pytest

from journal.message import Message
from journal.records.panel_tests import PAIRED, PanelTest
from journal.wording import Style, text_of, word_of, written_in
from journal.wording.history import label
from journal.wording.languages import languages, translated
from journal.wording.panel_tests import title
from journal.wording.style import style_of
from journal.wording.trade_words import variable_question

MADE_UP = """
name = "Quarkish"

[messages]
"keeping.file-exists" = "Zep {file} quarkto."
"keeping.no-folder" = "Zep {nothing_of_the_kind} molk."
"wording.many-brine-stay" = "{number} zepko"
"wording.ask-wax-temperature" = "Zep molk?"
"wording.field-green-weight-kg" = "molkgewicht"
"wording.test-title-paired-comparison" = "Quark von {at:day}"

[texts]
"Close" = "Quarkto"
"""
THERE = Message("keeping.file-exists", file="a.vatside")


@pytest.fixture
def quarkish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Style:
    folder = tmp_path / "vatside" / "languages"
    folder.mkdir(parents=True)
    (folder / "qk.toml").write_text(MADE_UP, encoding="utf-8")
    (folder / "broken.toml").write_text("name = ", encoding="utf-8")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    return style_of({"language": "qk"})


def test_a_language_is_there_once_its_file_is(quarkish):
    assert languages()[0] == ("en", "English")
    assert ("qk", "Quarkish") in languages()


def test_its_sentences_are_said_and_what_it_lacks_in_english(quarkish):
    english = text_of(THERE)
    with written_in(quarkish):
        assert text_of(THERE) == "Zep a.vatside quarkto."
        folder = Message("keeping.is-folder", file="a")
        with written_in(Style()):
            usual = text_of(folder)
        assert text_of(folder) == usual
    assert text_of(THERE) == english != "Zep a.vatside quarkto."


def test_a_text_without_a_value_is_said_by_its_english(quarkish):
    with written_in(quarkish):
        assert (translated("Close"), translated("Close it")) == ("Quarkto", "Close it")
    assert translated("Close") == "Close"


def test_its_words_for_codes_are_said_too(quarkish):
    test = PanelTest(0, "UTC", PAIRED, "bitter")
    with written_in(quarkish):
        assert word_of("wording.many-", "brine_stay", number=3) == "3 zepko"
        assert variable_question("wax_temperature") == "Zep molk?"
        assert title(test) == "Quark von 1 January 1970"
        assert label("green_weight_kg") == "molkgewicht"
        assert word_of("wording.seat-", "nobody") == "nobody"
    assert title(test) == "Paired comparison of 1 January 1970"
    assert label("green_weight_kg") == "green weight"


def test_a_sentence_that_cannot_be_filled_is_said_in_english(quarkish):
    message = Message("keeping.no-folder", folder="/there")
    usual = text_of(message)
    with written_in(quarkish):
        assert text_of(message) == usual


def test_a_file_that_cannot_be_read_says_nothing(quarkish):
    with written_in(style_of({"language": "broken"})):
        assert text_of(THERE).startswith("a.vatside exists already")

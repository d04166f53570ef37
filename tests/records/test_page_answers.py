"""The line an assessor sends: read as it was written, and nothing else is."""

from __future__ import annotations

from dataclasses import replace
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records import page_answers as lines
from journal.records.page_answers import (
    LETTERS,
    MARK,
    NOTE_MOST,
    TEXT_MOST,
    PageAnswer,
    PageKey,
    find_line,
    read_answer,
    write_answer,
)
from journal.wording import text_of
from tests.refusals import refused

KEY = PageKey("of a session", "of Orla", ("417", "203"), ("overall", "salt", "bitter"))
GIVEN = PageAnswer(((7.5, None, 0.0), (10.0, 3.0, None)), ("nutty", ""), 2)
NOTES = st.text(st.characters(exclude_categories=["C", "Z"]), max_size=NOTE_MOST)
SCORES = st.none() | st.integers(0, 20).map(lambda twice: twice / 2)


def read(text: str, key: PageKey = KEY) -> PageAnswer:
    return read_answer(find_line(text), key)


@st.composite
def answers(draw):
    rows, columns = draw(st.integers(1, 6)), draw(st.integers(1, 9))
    key = PageKey(draw(st.text()), draw(st.text()), tuple(map(str, range(rows))),
                  tuple("abcdefghi"[:columns]))  # fmt: skip
    scores = draw(st.lists(SCORES, min_size=rows * columns, max_size=rows * columns))
    notes = draw(st.lists(NOTES, min_size=rows, max_size=rows))
    table = tuple(tuple(scores[i * columns : (i + 1) * columns]) for i in range(rows))
    return key, PageAnswer(table, tuple(notes), draw(st.integers(1, 31)))


@settings(deadline=None, max_examples=150)
@given(answers())
def test_what_is_written_is_read_again(drawn):
    key, answer = drawn
    line = write_answer(answer, key)
    assert set(line) <= {*LETTERS, *MARK, "-"}
    if answer.empty:
        with refused(RecordError, "records.page-answer-empty"):
            read(line, key)
        return
    found = read(line, key)
    assert replace(found, check="") == answer
    assert found.check == line[-8:]


def test_text_around_the_line_and_breaks_in_it_do_no_harm():
    line = write_answer(GIVEN, KEY)
    wanted = read(line)
    wrapped = "\r\n> ".join([line[:25], line[25:40], line[40:]])
    for text in (line.lower(), f"My answer (VATSIDE1):\n{line}", f"{line} Thanks, Orla 1",
                 wrapped, line.replace("-", "\u2013"), line.replace("-", ""), f"{line}\n{line}",
                 line.replace("0", "O") if "0" in line[9:] else line):  # fmt: skip
        assert read(text) == wanted, text
    assert wanted.scores == GIVEN.scores
    assert wanted.notes == GIVEN.notes


def test_every_letter_counts():
    line = write_answer(GIVEN, KEY)
    for k in range(len(MARK) + 1, len(line)):
        if line[k] == "-":
            continue
        other = LETTERS[(LETTERS.index(line[k]) + 1) % 32]
        with pytest.raises(RecordError):
            read(line[:k] + other + line[k + 1 :])
        with pytest.raises(RecordError):
            read(line[:k] + line[k + 1 :])
    for short in range(len(line)):
        with pytest.raises(RecordError):
            read(line[:short])
    with refused(RecordError, "records.page-answer-short"):
        read(line[:-3])
    with refused(RecordError, "records.page-answer-altered"):
        read(line[:30] + line[31] + line[30] + line[32:])
    with refused(RecordError, "records.page-answers-several", count=2):
        read(f"{line}\n{write_answer(replace(GIVEN, turn=3), KEY)}")
    with refused(RecordError, "records.page-text-long"):
        read(line + "A" * TEXT_MOST)


@settings(deadline=None, max_examples=300)
@given(st.text(max_size=300), st.text("0123456789ABCDEFGHJKMNPQRSTVWXYZ", max_size=80))
def test_any_text_is_refused_in_a_sentence(text, letters):
    for sent in (text, f"{MARK}-{KEY.head}{letters}", f"{MARK}{text}", f"{text}{MARK}-{letters}"):
        with pytest.raises(RecordError) as caught:
            read(sent)
        assert text_of(caught.value).endswith(".")


@settings(deadline=None, max_examples=150)
@given(st.lists(st.integers(0, 31), max_size=60))
def test_who_knows_the_key_still_sends_no_more_than_a_page_can(plain):
    """A page that was changed: any numbers under the right check digits."""
    many = len(plain)
    length = "".join(LETTERS[many >> shift & 31] for shift in (10, 5, 0))
    text = KEY.head + length + "".join(LETTERS[one] for one in plain)
    digest = sha256(KEY.secret + b"check" + text.encode()).digest()
    check = "".join(LETTERS[byte & 31] for byte in digest[:8])
    mixed = lines._stream(KEY.secret, check, many)
    body = "".join(LETTERS[p ^ s] for p, s in zip(plain, mixed, strict=True))
    sent = f"{MARK}-{KEY.head}{length}-{body}-{check}"
    try:
        found = read(sent)
    except RecordError:
        with pytest.raises(RecordError, match=r"page-answer-(impossible|empty)"):
            read(sent)
        return
    assert all(one is None or (0 <= one <= 10 and (2 * one) % 1 == 0)
               for row in found.scores for one in row)  # fmt: skip
    assert all(len(note) <= NOTE_MOST and note.isprintable() for note in found.notes)


def test_a_line_tells_nobody_else_what_was_given():
    """Two answers that differ in one score differ all over; another key reads nothing."""
    line = write_answer(GIVEN, KEY)
    other = write_answer(replace(GIVEN, scores=((8.0, None, 0.0), (10.0, 3.0, None))), KEY)
    body, changed = line.split("-")[2], other.split("-")[2]
    assert sum(a != b for a, b in zip(body, changed, strict=True)) > len(body) // 2
    with refused(RecordError, "records.page-answer-altered"):
        read(line, replace(KEY, codes=("417", "204")))
    with refused(RecordError, "records.page-answer-altered"):
        read(line, replace(KEY, assessor="of Tam"))

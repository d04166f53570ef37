"""What an assessor sends back from their own page: one line of text, written and read.

The line is `VATSIDE1-`, a head, a body and check digits, in 32 letters and digits that no chat or
mail changes (those of Crockford's base 32: no I, L, O, U). The head says which session and assessor
it is of and how long the body is; so text around the line, and breaks within it, do no harm. The
body has the scores, then the notes. It is mixed with a stream that only the page and the journal
can make, so that the line tells nobody else what was given; the check digits are of head and body
under the same key. Both are SHA-256.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

from journal.records import RecordError
from journal.records.tastings import SCORE_TOP

MARK = "VATSIDE1"
LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
NOTE_MOST = 300  # letters of a note
TEXT_MOST = 60_000  # of what is looked through; a chat's whole export is no answer
_SESSION, _ASSESSOR, _LENGTH, _CHECK = 6, 3, 3, 8  # letters of each part
_TOP = round(2 * SCORE_TOP)
_BETWEEN = "\x1f"
_JOINERS = "\u200c\u200d"
_READ = {letter: value for value, letter in enumerate(LETTERS)} | {"O": 0, "I": 1, "L": 1}


@dataclass(frozen=True)
class PageKey:
    """One assessor's page of a session, as journal and page know it.

    Attributes
    ----------
    session, assessor : str
        The UUIDs of both.
    codes, attributes : tuple of str
        In the order of the page.
    """

    session: str
    assessor: str
    codes: tuple[str, ...]
    attributes: tuple[str, ...]

    @cached_property
    def head(self) -> str:
        """What the line begins with: which session, which assessor."""
        return session_letters(self.session) + _letters_of(
            _ASSESSOR, "assessor", self.session, self.assessor
        )

    @cached_property
    def secret(self) -> bytes:
        """16 bytes that nobody can tell from the head."""
        parts = (self.session, self.assessor, *self.codes, "", *self.attributes)
        return sha256("\0".join(("page", *parts)).encode()).digest()[:16]


@dataclass(frozen=True)
class PageAnswer:
    """What a page sent.

    `scores` has for each code its attributes' scores, None where none was given; `notes` one for
    each code; `turn` counts how often the page wrote an answer (31 and more alike); `check` are the
    check digits, by which an answer is known again.
    """

    scores: tuple[tuple[float | None, ...], ...]
    notes: tuple[str, ...]
    turn: int = 1
    check: str = ""

    @property
    def empty(self) -> bool:
        """Nothing was given."""
        return not any(self.notes) and all(one is None for row in self.scores for one in row)


def session_letters(session: str) -> str:
    """The letters by which a session is known in an answer."""
    return _letters_of(_SESSION, "session", session)


@dataclass(frozen=True)
class SentLine:
    """The parts of a line as it came, not looked into yet."""

    head: str
    length: str
    body: str
    check: str

    @property
    def session(self) -> str:
        """The letters of the session."""
        return self.head[:_SESSION]


def find_line(text: str) -> SentLine:
    """The one answer in a text.

    Raises
    ------
    RecordError
        When there is none, more than one, or it is cut short.
    """
    if len(text) > TEXT_MOST:
        raise RecordError("records.page-text-long", most=TEXT_MOST)
    plain = "".join(c for c in text if c.isascii() and c.isalnum()).upper()
    pieces = plain.split(MARK)[1:]
    if not pieces:
        raise RecordError("records.page-no-answer", mark=MARK)
    lines: dict[SentLine, None] = {}
    faults = []
    for piece in pieces:  # a name in passing is no answer where there is one
        try:
            lines[_cut(piece)] = None
        except RecordError as error:
            faults.append(error)
    if not lines:
        raise faults[0]
    if len(lines) > 1:
        raise RecordError("records.page-answers-several", count=len(lines))
    return next(iter(lines))


def _cut(piece: str) -> SentLine:
    known = "".join(LETTERS[_READ[c]] if c in _READ else c for c in piece)
    head, rest = known[: _SESSION + _ASSESSOR], known[_SESSION + _ASSESSOR :]
    length = rest[:_LENGTH]
    many = 0
    for letter in length:
        if letter not in _READ:
            raise RecordError("records.page-answer-altered")
        many = many * 32 + _READ[letter]
    body, check = rest[_LENGTH : _LENGTH + many], rest[_LENGTH + many : _LENGTH + many + _CHECK]
    if len(length) < _LENGTH or len(check) < _CHECK:
        raise RecordError("records.page-answer-short")
    return SentLine(head, length, body, check)


def read_answer(line: SentLine, key: PageKey) -> PageAnswer:
    """What a line says to the journal that has its key.

    Raises
    ------
    RecordError
        When it was altered on its way, or no page of the program can have sent it.
    """
    if any(c not in _READ for c in line.body + line.check) or line.head != key.head:
        raise RecordError("records.page-answer-altered")
    stream = _stream(key.secret, line.check, len(line.body))
    plain = [_READ[c] ^ s for c, s in zip(line.body, stream, strict=True)]
    if _check(key.secret, line.head + line.length, plain) != line.check:
        raise RecordError("records.page-answer-altered")
    rows, columns = len(key.codes), len(key.attributes)
    given = plain[1 : 1 + rows * columns]
    if len(given) < rows * columns or max(given, default=0) > _TOP + 1:
        raise RecordError("records.page-answer-impossible")
    scores = [None if one == 0 else (one - 1) / 2 for one in given]
    answer = PageAnswer(
        tuple(tuple(scores[i * columns : (i + 1) * columns]) for i in range(rows)),
        _notes(plain[1 + rows * columns :], rows),
        plain[0],
        line.check,
    )
    if answer.empty:
        raise RecordError("records.page-answer-empty")
    return answer


def _notes(plain: Sequence[int], many: int) -> tuple[str, ...]:
    bits = "".join(f"{one:05b}" for one in plain)
    try:
        text = bytes(int(bits[k : k + 8], 2) for k in range(0, len(bits) - 7, 8)).decode()
    except UnicodeDecodeError:
        raise RecordError("records.page-answer-impossible") from None
    notes = [_tidy(one) for one in text.split(_BETWEEN)] if text else []
    if len(notes) > many or any(len(one) > NOTE_MOST for one in notes):
        raise RecordError("records.page-answer-impossible")
    return (*notes, *[""] * (many - len(notes)))


def _tidy(text: str) -> str:
    """A note as one line of text: what cannot be seen becomes a blank, but for what joins signs."""
    shown = (c if c in _JOINERS or unicodedata.category(c)[0] not in "CZ" else " " for c in text)
    return " ".join("".join(shown).split())


def write_answer(answer: PageAnswer, key: PageKey) -> str:
    """The line that a page with this key writes."""
    plain = [min(answer.turn, 31)]
    plain += [0 if one is None else round(2 * one) + 1 for row in answer.scores for one in row]
    notes = _BETWEEN.join(answer.notes).rstrip(_BETWEEN).encode()
    bits = "".join(f"{byte:08b}" for byte in notes)
    plain += [int(bits[k : k + 5].ljust(5, "0"), 2) for k in range(0, len(bits), 5)]
    many = len(plain)
    length = "".join(LETTERS[many >> shift & 31] for shift in (10, 5, 0))
    check = _check(key.secret, key.head + length, plain)
    stream = _stream(key.secret, check, many)
    body = "".join(LETTERS[p ^ s] for p, s in zip(plain, stream, strict=True))
    return f"{MARK}-{key.head}{length}-{body}-{check}"


def _check(secret: bytes, head: str, plain: Sequence[int]) -> str:
    text = head + "".join(LETTERS[one] for one in plain)
    return _letters(sha256(secret + b"check" + text.encode()).digest(), _CHECK)


def _stream(secret: bytes, check: str, many: int) -> list[int]:
    found: list[int] = []
    for block in range(-(-many // 32)):
        digest = sha256(secret + f"stream{check}{block}".encode()).digest()
        found += [byte & 31 for byte in digest]
    return found[:many]


def _letters_of(many: int, *parts: str) -> str:
    return _letters(sha256("\0".join(parts).encode()).digest(), many)


def _letters(digest: bytes, many: int) -> str:
    return "".join(LETTERS[byte & 31] for byte in digest[:many])

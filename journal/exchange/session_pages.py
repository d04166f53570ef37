"""A session as pages for assessors elsewhere: one file each, that needs nothing beside it.

A page holds its assessor's codes in their serving order and the attributes, and the key of its
answer. What a code stands on is never read here.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from html import escape
from pathlib import Path

from journal.exchange import ExchangeError
from journal.keeping import Journal
from journal.keeping.elsewhere import AssessorPage
from journal.keeping.file import open_other, reason
from journal.records import id_of
from journal.records.instants import local
from journal.records.own_files import own_file
from journal.records.page_answers import NOTE_MOST, TEXT_MOST
from journal.records.tastings import SHUFFLED, Tasting
from journal.wording import session_page as words
from journal.wording import worded
from journal.wording.dates import day_words
from journal.wording.scale_words import scale_words


def write_pages(journal: Journal, tasting: Tasting, folder: Path) -> list[Path]:
    """Write a page for each assessor of a hidden session into a folder, made where it is missing.

    Raises
    ------
    KeepingError
        When the session is revealed.
    ExchangeError
        When a file cannot be written.
    """
    pages = journal.elsewhere.pages(id_of(tasting))
    day = local(tasting.at_ms, tasting.zone).date().isoformat()
    names: list[str] = []
    for one in pages:
        name = f"tasting {day} {_file_name(one.assessor)}"
        while name.casefold() in (other.casefold() for other in names):
            name += "-2"
        names.append(name)
    found = [folder / f"{name}.html" for name in names]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for one, where in zip(pages, found, strict=True):
            where.write_text(page_html(journal, tasting, one, where.stem), encoding="utf-8")
    except OSError as error:
        raise ExchangeError("exchange.pages-not-written", folder=folder, why=error) from None
    return found


def read_sent(path: Path) -> str:
    """The text of the small file that an assessor sent.

    Raises
    ------
    ExchangeError
        When it cannot be read.
    """
    try:
        with open_other(path) as file:
            return file.read(TEXT_MOST + 1).decode("utf-8", "replace")
    except OSError as error:
        raise ExchangeError("keeping.file-not-read", file=path.name, why=reason(error)) from None


def page_html(journal: Journal, tasting: Tasting, page: AssessorPage, name: str) -> str:
    """One assessor's page; its answer is saved under the same name."""
    attributes = page.key.attributes
    ends = [words.scale_ends_words(scale_words(journal, one)) for one in attributes]
    called = [
        worded("desk.cup", number=code) if tasting.coding == SHUFFLED else code
        for code in page.key.codes
    ]
    script, style = _own("session.js"), _own("session.css")
    data = {
        "head": page.key.head,
        "key": page.key.secret.hex(),
        "file": f"{name}.txt",
        "words": words.said_later(),
    }
    texts = words.page_texts(day_words(tasting.at_ms, tasting.zone), page.assessor)
    return _own("session.html").format(
        **_escaped(texts),
        script_sum=_digest(script),
        style_sum=_digest(style),
        style=style,
        script=script,
        samples="\n".join(_sample(k, called, attributes, ends) for k in range(len(called))),
        page=_json(data),
    )


def _sample(k: int, codes: Sequence[str], attributes: Sequence[str], ends: Sequence[str]) -> str:
    """One sample: its code, a row for each attribute, a note."""
    code = codes[k]
    rows = [
        _own("row.html").format(
            id=f"s{k}a{n}",
            name=escape(name),
            ends=escape(end),
            **_escaped(words.score_texts(name, code)),
        )
        for n, (name, end) in enumerate(zip(attributes, ends, strict=True))
    ]
    return _own("sample.html").format(
        id=f"s{k}", **_escaped(words.sample_texts(k + 1, len(codes))), code=escape(code),
        rows="\n".join(rows), most=NOTE_MOST,
    )  # fmt: skip


def _escaped(texts: dict[str, str]) -> dict[str, str]:
    return {key: escape(text) for key, text in texts.items()}


def _json(data: object) -> str:
    """JSON that ends no script element, whatever people typed."""
    text = json.dumps(data, ensure_ascii=True)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


@cache
def _own(name: str) -> str:
    return own_file("pages", name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return b64encode(sha256(text.encode()).digest()).decode()


def _file_name(text: str) -> str:
    """A name as part of a file's: its letters and digits, with dashes between."""
    plain = "".join(c if c.isalnum() else "-" for c in text)
    return "-".join(filter(None, plain.split("-")))[:40] or "assessor"

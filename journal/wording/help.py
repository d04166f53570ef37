"""The help: pages of `resources/help`, the glossary, and what is found in both by typing."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

from journal.records.own_files import own_file
from journal.records.tables import table
from journal.wording.keys import with_keys
from journal.wording.sentences import worded
from journal.wording.style import style_in_use

# Every page, in the order in which they are read.
PAGES = (
    "begin", "today", "plans", "makes", "vat", "compare", "room", "tastings", "findings",
    "calculate", "sensors", "files", "settings",
)  # fmt: skip
# Words of a question that say nothing of what is looked for.
_ASKING = frozenset(
    [
        "a",
        "an",
        "and",
        "are",
        "can",
        "do",
        "does",
        "for",
        "how",
        "i",
        "if",
        "in",
        "is",
        "it",
        "my",
        "of",
        "on",
        "or",
        "the",
        "there",
        "to",
        "what",
        "when",
        "where",
        "why",
        "you",
    ]
)
_WORD = re.compile(r"[^\W\d_]+(?:['/-][^\W\d_]+)*")


@dataclass(frozen=True)
class HelpPart:
    """A part of a page: its heading, and its paragraphs."""

    title: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True)
class HelpPage:
    """A page of the help: its name, its title and its parts."""

    key: str
    title: str
    parts: tuple[HelpPart, ...]

    def text(self) -> str:
        """All its words."""
        return "\n".join(
            [self.title, *(line for one in self.parts for line in (one.title, *one.paragraphs))]
        )


@dataclass(frozen=True)
class ExplainedWord:
    """A word with what it means: its other forms, and where that was read."""

    term: str
    also: tuple[str, ...]
    meaning: str
    source: str

    def forms(self) -> tuple[str, ...]:
        """The word and its other forms, in small letters."""
        return (self.term.lower(), *(one.lower() for one in self.also))


@dataclass(frozen=True)
class HelpHit:
    """Something found: a page with the place of one of its parts (-1: the page), or a word."""

    page: HelpPage | None = None
    part: int = -1
    word: ExplainedWord | None = None


def help_pages() -> tuple[HelpPage, ...]:
    """Every page of the help, with the keys of now."""
    return tuple(_with_keys(page) for page in _pages())


def _with_keys(page: HelpPage) -> HelpPage:
    parts = (HelpPart(one.title, tuple(map(with_keys, one.paragraphs))) for one in page.parts)
    return replace(page, parts=tuple(parts))


@cache
def _pages() -> tuple[HelpPage, ...]:
    return tuple(_read(key, own_file("help", f"{key}.md").read_text(encoding="utf-8"))
                 for key in PAGES)  # fmt: skip


def glossary() -> tuple[ExplainedWord, ...]:
    """Every word that is explained, by the alphabet; the defects of the trade's list with them."""
    return _glossary(style_in_use().language)


@cache
def _glossary(_language: str) -> tuple[ExplainedWord, ...]:
    own, defects = table("glossary"), table("defect_terms")
    rows = [
        ExplainedWord(term, tuple(also.split(";")) if also else (), meaning, source)
        for term, also, meaning, source in zip(
            own["term"], own["also"], own["meaning"], own["source"], strict=True
        )
    ]
    known = {form for row in rows for form in row.forms()}
    rows += [
        ExplainedWord(term, (), worded("wording.help-defect", meaning=gloss), source)
        for term, gloss, source in zip(
            defects["term"], defects["gloss"], defects["source"], strict=True
        )
        if term.lower() not in known
    ]
    return tuple(sorted(rows, key=lambda row: row.term.lower()))


def explained(word: str) -> ExplainedWord | None:
    """What a word or one of its forms means; None where it is not in the glossary."""
    return _by_form(style_in_use().language).get(word.lower())


@cache
def _by_form(language: str) -> dict[str, ExplainedWord]:
    """The words by each of their forms; the word itself counts before another's form."""
    rows = _glossary(language)
    found = {form: row for row in reversed(rows) for form in row.forms()}
    return found | {row.term.lower(): row for row in rows}


def words_in(text: str) -> tuple[ExplainedWord, ...]:
    """The words of a text that are explained, by the alphabet."""
    words = [word.lower() for word in _WORD.findall(text)]
    runs = {" ".join(words[at : at + long]) for long in (1, 2, 3) for at in range(len(words))}
    found = {row.term: row for run in runs if (row := explained(run)) is not None}
    return tuple(found[term] for term in sorted(found, key=str.lower))


def search_help(text: str) -> tuple[HelpHit, ...]:
    """What holds every word that was typed, or words that begin so: titles before texts, words of
    the glossary by what they are called before what they mean. Nothing typed: every page."""
    typed = text.lower().split()
    wanted = [word for word in typed if word.strip("?.,!") not in _ASKING] or typed
    if not wanted:
        return tuple(HelpHit(page) for page in help_pages())
    scored: list[tuple[int, HelpHit]] = []
    for word in glossary():
        rank = _rank(wanted, " ".join(word.forms()), word.meaning)
        if rank is not None:
            exact = text.lower().strip() in word.forms()
            scored.append((-1 if exact else rank, HelpHit(word=word)))
    for page in help_pages():
        if (rank := _rank(wanted, page.title, "")) is not None:
            scored.append((rank, HelpHit(page)))
        for at, part in enumerate(page.parts):
            rank = _rank(wanted, f"{page.title} {part.title}", " ".join(part.paragraphs))
            if rank is not None:
                scored.append((rank + 1, HelpHit(page, at)))
    return tuple(hit for _, hit in sorted(scored, key=lambda one: one[0]))


def _rank(wanted: list[str], title: str, text: str) -> int | None:
    """0 where the title has every word, 2 where title and text have; None where they lack one."""
    wanted = [word.strip("?.,!") for word in wanted]
    named = [word.lower() for word in _WORD.findall(title)]
    every = [*named, *(word.lower() for word in _WORD.findall(text))]
    if all(any(word.startswith(one) for word in named) for one in wanted):
        return 0
    if all(any(word.startswith(one) for word in every) for one in wanted):
        return 2
    return None


def _read(key: str, text: str) -> HelpPage:
    """A page as it is written: `# title`, then `## part` with its paragraphs under it."""
    title, *parts = text.split("\n## ")
    return HelpPage(
        key,
        title.removeprefix("# ").strip(),
        tuple(
            HelpPart(head.strip(), tuple(line for line in body.splitlines() if line.strip()))
            for head, _, body in (part.partition("\n") for part in parts)
        ),
    )

"""A page of the help as it is drawn: headings, paragraphs, keys, words with what they mean."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence

from journal.desk.commands import Command, shown_keys
from journal.desk.theme import LEAD, STEP, TEXT, TITLE, Colours, scaled
from journal.wording import worded
from journal.wording.help import ExplainedWord, HelpPage, words_in

_STARRED = re.compile(r"\*([^*]+)\*")
_NUMBERED = re.compile(r"\d+\. ")


def page_html(page: HelpPage, commands: Sequence[Command], c: Colours) -> str:
    """A page, then the keys of the place it is about, then the words on it."""
    out = [_heading(page.title, TITLE)]
    for at, part in enumerate(page.parts):
        out.append(f'<a name="{at}"></a>{_heading(part.title, LEAD)}')
        out += [_paragraph(line) for line in part.paragraphs]
    keyed = [(shown_keys(one), one.title) for one in commands if shown_keys(one)]
    if keyed:
        out.append(_heading("Keys", LEAD))
        rows = "".join(
            f'<tr><td style="color:{c.quiet.name()}; padding-right:{scaled(6 * STEP)}px">'
            f"{html.escape(keys)}</td><td>{html.escape(title.rstrip('…'))}</td></tr>"
            for keys, title in keyed
        )
        out.append(f"<table>{rows}</table>")
    words = words_in(page.text())
    if words:
        links = ", ".join(word_link(one, c) for one in words)
        out.append(f"{_heading('Words on this page', LEAD)}<p>{links}</p>")
    return _whole("".join(out), c)


def words_html(words: Sequence[ExplainedWord], c: Colours) -> str:
    """Words with what they mean and where that was read."""
    out = [] if len(words) == 1 else [_heading(worded("desk.every-word"), TITLE)]
    for one in words:
        out.append(_heading(one.term, TITLE if len(words) == 1 else LEAD))
        out.append(_paragraph(one.meaning))
        if one.also:
            also = html.escape(worded("desk.also-called", words=one.also))
            out.append(f'<p style="color:{c.quiet.name()}">{also}</p>')
        source = html.escape(worded("desk.source-is", source=one.source))
        out.append(f'<p style="color:{c.quiet.name()}">{source}</p>')
        if len(words) == 1:
            others = [word for word in words_in(one.meaning) if word.term != one.term]
            if others:
                links = [word_link(word, c) for word in others]
                out.append(f"<p>{worded('desk.words-beside', words=links)}</p>")
    return _whole("".join(out), c)


def word_link(word: ExplainedWord, c: Colours) -> str:
    """A word that leads to what it means."""
    term = html.escape(word.term)
    return f'<a href="word:{term}" style="color:{c.ink.name()}">{term}</a>'


def _whole(body: str, c: Colours) -> str:
    look = f"font-size:{scaled(TEXT)}px; color:{c.ink.name()}"
    return f'<body style="{look}">{body}</body>'


def _heading(text: str, size: int) -> str:
    tag, above = ("h1", 0) if size == TITLE else ("h2", 5)
    look = f"font-size:{scaled(size)}px; font-weight:600; margin-top:{scaled(above * STEP)}px"
    return f'<{tag} style="{look}; margin-bottom:{scaled(STEP)}px">{html.escape(text)}</{tag}>'


def _paragraph(line: str) -> str:
    words = _STARRED.sub(r"<i>\1</i>", html.escape(line, quote=False))
    indent = scaled(4 * STEP) if _NUMBERED.match(line) else 0
    look = f"margin:0 0 {scaled(2 * STEP)}px {indent}px; line-height:135%"
    return f'<p style="{look}">{words}</p>'

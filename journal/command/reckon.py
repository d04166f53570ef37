"""The trade's sums at the command line: typed keys read, a topic calculated, its answer given."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    aligned,
    answer,
    text_only,
)
from journal.command.error import CommandError
from journal.command.parser import CommandOption, command
from journal.wording import worded

if TYPE_CHECKING:
    from journal.topics.asked import InputValue
    from journal.topics.topic import Input, Topic


@command(
    "reckon",
    "calculate one of the trade's sums",
    CommandOption("topic", "the sum; lists them all if left out", "TOPIC", nargs="?"),
    CommandOption("given", "its values; lists the keys if left out", "KEY=VALUE", nargs="*"),
)
def _reckon(args: argparse.Namespace) -> CommandAnswer:
    from journal.topics.registry import topic

    if args.topic is None:
        return _listed()
    found = topic(args.topic)
    if not args.given:
        return _described(found)
    return reckon_answer(found, args.given)


def reckon_answer(topic: Topic, words: Sequence[str]) -> CommandAnswer:
    """What a topic answers to KEY=VALUE words."""
    from journal.records.tables import table
    from journal.topics.answer import unit_of
    from journal.topics.registry import reckon
    from journal.topics.written import value_text, values_of

    given, notes = read_given(topic, words)
    found = reckon(topic.name, given, {name: table(name) for name in topic.tables})
    promised = {key: unit for key in topic.answers if (unit := unit_of(key)) is not None}
    values = {
        name: Value(value, value_text(value, found.units.get(name, "")))
        for name, value in values_of(topic, found).items()
    }
    blocks = {
        "formula": Value(found.formula, worded("command.sum-how", formula=found.formula)),
        "source": Value(found.source, worded("desk.source-is", source=found.source)),
        "assumed": _block(dict.fromkeys([*notes, *found.assumed]), "command.sum-assumed"),
        "warnings": _block(found.warnings, "command.sum-warning"),
        "cautions": _block(found.cautions, "command.sum-caution"),
    }
    says = [topic.name, "{values}", *(f"{{{name}}}" for name in blocks)]
    return answer(
        "\n".join(says),
        **(dict.fromkeys(topic.answers) | values),
        units=promised | found.units,
        **blocks,
        values=text_only(
            aligned([row for name, value in values.items() for row in _lines(name, value.text)])
        ),
    )


def _lines(name: str, text: str) -> list[list[str]]:
    """A value with its name before its first line."""
    return [["" if i else name, line] for i, line in enumerate(text.split("\n"))]


def _block(several: Iterable[str], says: str) -> Value:
    """Some sentences, each with what it is before it."""
    found = list(several)
    return Value(found, "\n".join(worded(says, sentence=one) for one in found))


def read_given(topic: Topic, words: Sequence[str]) -> tuple[dict[str, InputValue], list[str]]:
    """KEY=VALUE words as values in stored units, and what was assumed in reading them.

    A word without "=" goes on with the value before it, so `temp=31 C` needs no quotation marks.
    """
    from journal.topics.registry import key
    from journal.topics.typed import read_value

    given: dict[str, InputValue] = {}
    notes: list[str] = []
    pairs = [(key(topic, name), text) for name, text in _pairs(topic, words)]
    names = [found.name for found, _ in pairs]
    for name in names:
        if names.count(name) > 1:
            raise CommandError("command.given-twice", name=name)
    for found, text in pairs:
        try:
            read = read_value(topic, found, text)
        except ValueError as error:
            raise CommandError("command.value-at-fault", name=found.name, why=error) from None
        given[found.name] = read.value
        notes += read.notes
    return given, notes


def _pairs(topic: Topic, words: Sequence[str]) -> list[tuple[str, str]]:
    found: list[list[str]] = []
    for word in words:
        name, mark, value = word.partition("=")
        if mark and name.strip():
            found.append([name.strip(), value.strip()])
        elif found:
            found[-1][1] = f"{found[-1][1]} {word}".strip()
        elif topic.lead:
            found.append([topic.lead, word])
        else:
            raise CommandError("command.no-key", word=word, key=topic.keys[0].name)
    for name, value in found:
        if not value:
            raise CommandError("command.key-without-value", name=name)
    return [(name, value) for name, value in found]


TOPICS: Table[Topic] = Table(
    AnswerColumn("topic", lambda topic: topic.name, ""),
    AnswerColumn("summary", lambda topic: topic.summary, ""),
    AnswerColumn("keys", lambda topic: [key.name for key in topic.keys]),
    AnswerColumn("answers", lambda topic: topic.answers),
)
KEYS: Table[Input] = Table(
    AnswerColumn("key", lambda key: key.name, ""),
    AnswerColumn("words", lambda key: key.words, ""),
    AnswerColumn("quantities", lambda key: key.quantities),
    AnswerColumn("choices", lambda key: key.choices),
    AnswerColumn("", lambda key: _example(key), ""),
)


def _listed() -> CommandAnswer:
    from journal.topics.registry import topics

    return answer(("{topics}", "command.how-to-list-keys"), topics=TOPICS.of(topics().values()))


def _described(topic: Topic) -> CommandAnswer:
    return answer(
        ("{topic}: {summary}", "{keys}", "command.sum-answers"),
        topic=topic.name,
        summary=topic.summary,
        keys=KEYS.of(topic.keys),
        answers=topic.answers,
    )


def _example(key: Input) -> str:
    from journal.topics.typed import example_of

    return example_of(key)


COMMANDS = (_reckon,)

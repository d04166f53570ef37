"""How arguments are read: every fault is one sentence, negative values are values."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

from journal import __version__
from journal.command.answer import Answer
from journal.command.error import CommandError

DESCRIPTION = (
    "A journal for people who make cheese at home. With a FILE alone, or nothing, it opens the "
    "window."
)


_SWITCHES = (
    "--json", "--preview", "--help", "--helper", "--blind", "--unfinished", "--undo"
)  # fmt: skip


class Parser(argparse.ArgumentParser):
    """Reads arguments; raises CommandError instead of ending the program."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("allow_abbrev", False)
        super().__init__(*args, **kwargs)
        self._negative_number_matcher = re.compile(r"-[0-9.,]\S*")

    def error(self, message: str) -> NoReturn:
        """Raise what argparse found wrong, with where to look."""
        raise CommandError(f"{message[:1].upper()}{message[1:]}. “{self.prog} --help” says how.")


@dataclass(frozen=True)
class Command:
    """One command: its name, what it does in a few words, its arguments, and how it runs.

    `repeated` names the options that may be followed by several values once the `places`
    positional arguments are all there: "--time Date Clock" is "--time Date --time Clock".
    """

    name: str
    summary: str
    arguments: Callable[[Parser], None]
    run: Callable[[argparse.Namespace], Answer]
    repeated: tuple[str, ...] = ()
    places: int = 0


def build_parser(commands: Sequence[Command]) -> Parser:
    """The parser of all commands."""
    parser = Parser(prog="vatside", description=DESCRIPTION)
    parser.add_argument("--version", action="version", version=f"Vatside {__version__}")
    found = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for command in commands:
        one = found.add_parser(command.name, help=command.summary, description=command.summary)
        command.arguments(one)
        one.add_argument("--json", action="store_true", help="answer as JSON")
        one.set_defaults(run=command.run)
    return parser


def spelt_out(words: Sequence[str], command: Command) -> list[str]:
    """The words with each further value of a repeated option behind its own option."""
    found: list[str] = []
    placed, option, waiting = -1, "", False  # the command's own name is no place
    for word in words:
        if word.startswith("--"):
            option, waiting = word, "=" not in word and word not in _SWITCHES
        elif waiting:
            waiting = False
        elif option in command.repeated and placed == command.places:
            found.append(option)
        else:
            placed += 1
        found.append(word)
    return found


def add_file(parser: Parser) -> None:
    """The journal's file."""
    parser.add_argument("file", metavar="FILE", help="the journal")


def add_make(parser: Parser) -> None:
    """The journal's file and a make in it."""
    add_file(parser)
    parser.add_argument("make", metavar="MAKE", help="a make's code, or latest")


def add_at(parser: Parser) -> None:
    """When it happened."""
    parser.add_argument("--at", metavar="ISO", help="when, like 2026-03-14T09:30; without it, now")


def pairs(given: Sequence[str] | None, example: str) -> list[tuple[str, str]]:
    """NAME=VALUE words taken apart at their last "="."""
    found = []
    for word in given or ():
        name, mark, value = word.rpartition("=")
        if not (mark and name.strip() and value.strip()):
            raise CommandError(f"“{word}” will not do: write it like {example}.")
        found.append((name.strip(), value.strip()))
    return found

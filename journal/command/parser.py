"""How arguments are read: every fault is one sentence, negative values are values."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

from journal import __version__
from journal.command.answer import CommandAnswer
from journal.command.error import CommandError
from journal.wording import worded

Run = Callable[[argparse.Namespace], CommandAnswer]


class Parser(argparse.ArgumentParser):
    """Reads arguments; raises CommandError instead of ending the program."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("allow_abbrev", False)
        super().__init__(*args, **kwargs)
        self._negative_number_matcher = re.compile(r"-[0-9.,]\S*")

    def error(self, message: str) -> NoReturn:
        """Raise what argparse found wrong, with where to look."""
        raise CommandError("command.see-help", why=message, program=self.prog)


class _Help(argparse.HelpFormatter):
    """Help with room for the longest name of a command."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=28)


class CommandOption:
    """A place of a command (FILE) or an option (--at); `more` is as argparse takes it.

    `formerly` is the name that an option had before: it still works, and no help shows it.
    """

    def __init__(
        self, name: str, about: str, metavar: str | None = None, formerly: str = "", **more: Any
    ) -> None:
        self.name = name
        self.formerly = formerly
        self.more = {"help": about, **({} if metavar is None else {"metavar": metavar}), **more}


def switch(name: str, about: str, formerly: str = "") -> CommandOption:
    """An option without a value."""
    return CommandOption(name, about, formerly=formerly, action="store_true")


def several(name: str, about: str, metavar: str, **more: Any) -> CommandOption:
    """An option that may be given again, or be followed by several values."""
    return CommandOption(name, about, metavar, action="append", **more)


FILE = CommandOption("file", "the journal", "FILE")
MAKE = CommandOption("make", "a make's code, or latest", "MAKE")
AT = CommandOption("--at", "when, like 2026-03-14T09:30; now if left out", "ISO")
_JSON = switch("--json", "answer as JSON")


@dataclass(frozen=True)
class ParsedCommand:
    """One command: its name, what it does in a few words, how it runs, its places and options.

    `formerly` is the name it had before: it still works, and no help shows it.
    """

    name: str
    summary: str
    run: Run
    options: tuple[CommandOption, ...]
    formerly: str = ""


def command(
    name: str, summary: str, *options: CommandOption, formerly: str = ""
) -> Callable[[Run], ParsedCommand]:
    """Make a command of the function below."""
    return lambda run: ParsedCommand(name, summary, run, options, formerly)


def command_named(name: str, commands: Sequence[ParsedCommand]) -> ParsedCommand | None:
    """The command of that name, or of that former name."""
    return next((one for one in commands if name in (one.name, one.formerly)), None)


def with_new_names(words: Sequence[str], command: ParsedCommand) -> list[str]:
    """The words of a command with its former name and those of its options replaced."""
    new = {one.formerly: one.name for one in command.options if one.formerly}
    found = [command.name]
    for word in words[1:]:
        name, mark, value = word.partition("=")
        found.append(new.get(name, name) + mark + value)
    return found


def former_names(commands: Sequence[ParsedCommand]) -> list[tuple[str, str]]:
    """Every former name beside the new one: "test-lay", "test-set-up"; an option's with its
    command before it."""
    found = [(one.formerly, one.name) for one in commands if one.formerly]
    found += [
        (f"{one.name} {option.formerly}", f"{one.name} {option.name}")
        for one in commands
        for option in one.options
        if option.formerly
    ]
    return found


class _Version(argparse.Action):
    """Says the versions, which are looked up only then."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from journal.keeping.migrations import SQLITE

        print(worded("command.versions", version=__version__, sqlite=SQLITE))
        parser.exit()


def build_parser(commands: Sequence[ParsedCommand]) -> Parser:
    """The parser of these commands."""
    parser = Parser(
        prog="vatside",
        description="A journal for people who make cheese at home. With a FILE alone, or nothing, "
        "it opens the window.",
        formatter_class=_Help,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the versions and exit")
    found = parser.add_subparsers(
        title="commands", dest="command", required=True, metavar="COMMAND"
    )
    for command in commands:
        one = found.add_parser(command.name, help=command.summary, description=command.summary)
        for option in (*command.options, _JSON):
            one.add_argument(option.name, **option.more)
        one.set_defaults(run=command.run)
    return parser


def spelt_out(words: Sequence[str], command: ParsedCommand) -> list[str]:
    """The words with each further value of an option behind that option's name.

    Once its places are all there, "--time Date Clock" is "--time Date --time Clock". A command
    whose last place takes several words keeps them.
    """
    places = [one for one in command.options if not one.name.startswith("-")]
    open_end = any(one.more.get("nargs") == "+" for one in places)
    acts = {one.name: one.more.get("action") for one in (*command.options, _JSON)}
    again = [name for name, act in acts.items() if act == "append" and not open_end]
    alone = ["--help", *(name for name, act in acts.items() if act == "store_true")]
    found: list[str] = []
    placed, option, waiting = -1, "", False  # the command's own name is no place
    for word in words:
        if word.startswith("--"):
            option, waiting = word, "=" not in word and word not in alone
        elif waiting:
            waiting = False
        elif option in again and placed == len(places):
            found.append(option)
        else:
            placed += 1
        found.append(word)
    return found


def pairs(given: Sequence[str] | None, example: str) -> list[tuple[str, str]]:
    """NAME=VALUE words taken apart at their last "="."""
    found = []
    for word in given or ():
        name, mark, value = word.rpartition("=")
        if not (mark and name.strip() and value.strip()):
            raise CommandError("command.not-understood", word=word, example=example)
        found.append((name.strip(), value.strip()))
    return found

"""A pattern that a person typed, matched in time that grows with the line and no quicker.

Python's own matching tries every way: a pattern like `(a+)+b` holds the program for hours on a line
of forty letters. Here no place in the pattern is tried twice at one place in the line, so which
match is found stays the same and the work is at most their product. Source: R. Cox, "Regular
Expression Matching: the Virtual Machine Approach" (2009), the backtracking kind that remembers.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable
from re import _compiler, _constants, _parser  # type: ignore[attr-defined]
from typing import Any, NamedTuple

from journal.exchange import ExchangeError

_LONGEST = 200  # letters of a pattern
_MOST_STEPS = 500  # of the pattern with its repetitions written out
_ONE_LETTER = ("LITERAL", "NOT_LITERAL", "ANY", "IN")
_SPLIT, _TEST, _BEGIN, _END, _FOUND = range(5)


class _Step(NamedTuple):
    """What to do: try `test` at this place, or go on at any of `to`, the first of them first. A
    `test` that is text is a letter that must stand there."""

    kind: int
    test: re.Pattern[str] | str | None = None
    to: tuple[int, ...] = ()


class LinePattern:
    """A regular expression whose first group is the value.

    Raises
    ------
    ExchangeError
        When it is none, has no group, or asks for what cannot be found in one look along the
        line: what was matched before, or what must not follow.
    """

    def __init__(self, text: str) -> None:
        self._steps: list[_Step] = []
        self._tests: dict[str, re.Pattern[str]] = {}
        self._text = text
        if len(text) > _LONGEST:
            raise ExchangeError("exchange.pattern-too-long", most=_LONGEST)
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", FutureWarning)  # of what a later Python may read
                parsed: Any = _parser.parse(text)
        except (re.error, RecursionError, OverflowError) as error:
            raise ExchangeError("exchange.no-pattern", pattern=text, why=error) from None
        if parsed.state.groups < 2:
            raise ExchangeError("exchange.pattern-without-group", pattern=text)
        self._add_all(parsed, parsed.state.flags)
        self._add(_FOUND)

    def value(self, line: str) -> str | None:
        """The text of the first group in the leftmost match, "" where it took no part; None where
        the line does not match."""
        tried: set[tuple[int, int]] = set()
        for start in range(len(line) + 1):
            found = self._from(line, start, tried)
            if found is not None:
                first, end = found
                return line[first:end] if 0 <= first <= end else ""
        return None

    def _from(self, line: str, start: int, tried: set[tuple[int, int]]) -> tuple[int, int] | None:
        """Where the group lies in the match that begins at `start`."""
        waiting = [(0, start, -1, -1)]
        while waiting:
            at, index, first, end = waiting.pop()
            if (at, index) in tried:
                continue
            tried.add((at, index))
            step = self._steps[at]
            if step.kind == _FOUND:
                return first, end
            if step.kind == _SPLIT:
                waiting.extend((to, index, first, end) for to in reversed(step.to))
            elif isinstance(step.test, str):
                if line.startswith(step.test, index):
                    waiting.append((at + 1, index + 1, first, end))
            elif step.test is not None:
                met = step.test.match(line, index)
                if met is not None:
                    waiting.append((at + 1, met.end(), first, end))
            elif step.kind == _BEGIN:
                waiting.append((at + 1, index, index, -1))
            else:
                waiting.append((at + 1, index, first, index))
        return None

    # The pattern as steps

    def _add(self, kind: int, test: re.Pattern[str] | str | None = None) -> int:
        if len(self._steps) >= _MOST_STEPS:
            raise ExchangeError("exchange.pattern-too-much", pattern=self._text)
        self._steps.append(_Step(kind, test))
        return len(self._steps) - 1

    def _go_on(self, at: int, *to: int) -> None:
        self._steps[at] = _Step(_SPLIT, None, to)

    def _add_all(self, items: Iterable[tuple[Any, Any]], flags: int) -> None:
        for op, given in items:
            name = str(op)
            if name in _ONE_LETTER or name == "AT":
                self._add(_TEST, self._test((op, given), flags))
            elif name == "SUBPATTERN":
                self._add_group(given, flags)
            elif name == "BRANCH":
                self._add_branches(given[1], flags)
            elif name in ("MAX_REPEAT", "MIN_REPEAT"):
                self._add_repeat(given, flags, lazy=name == "MIN_REPEAT")
            else:
                raise ExchangeError("exchange.pattern-looks-around", pattern=self._text)

    def _test(self, item: tuple[Any, Any], flags: int) -> re.Pattern[str] | str:
        """One letter's test, or a place's; the same one is made once."""
        if str(item[0]) == "LITERAL" and not flags & re.IGNORECASE:
            return chr(item[1])
        key = f"{flags} {item}"
        if key not in self._tests:
            self._tests[key] = _alone(item, flags)
        return self._tests[key]

    def _add_group(self, given: tuple[Any, int, int, Any], flags: int) -> None:
        group, more, less, items = given
        if group == 1:
            self._add(_BEGIN)
        self._add_all(items, (flags | more) & ~less)
        if group == 1:
            self._add(_END)

    def _add_branches(self, branches: list[Any], flags: int) -> None:
        fork = self._add(_SPLIT)
        starts, ends = [], []
        for branch in branches:
            starts.append(len(self._steps))
            self._add_all(branch, flags)
            ends.append(self._add(_SPLIT))
        self._go_on(fork, *starts)
        for end in ends:
            self._go_on(end, len(self._steps))

    def _add_repeat(self, given: tuple[int, Any, Any], flags: int, *, lazy: bool) -> None:
        low, high, items = given
        if high > 1 and items.getwidth()[0] == 0:
            raise ExchangeError("exchange.pattern-repeats-nothing", pattern=self._text)
        for _ in range(low):
            self._add_all(items, flags)
        endless = high is _constants.MAXREPEAT
        forks = []
        for _ in range(1 if endless else high - low):
            fork = self._add(_SPLIT)
            forks.append(fork)
            self._add_all(items, flags)
        if endless:
            self._go_on(self._add(_SPLIT), forks[0])
        for fork in forks:
            ways = (fork + 1, len(self._steps))
            self._go_on(fork, *(reversed(ways) if lazy else ways))


def _alone(item: tuple[Any, Any], flags: int) -> re.Pattern[str]:
    """One letter's test, or a place's, as an expression of its own."""
    state = _parser.State()
    state.flags = flags
    found: re.Pattern[str] = _compiler.compile(_parser.SubPattern(state, [item]), flags)
    return found

"""What is hostile at the doors is refused in a sentence: in good time, within memory."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
from pathlib import Path
from re import _parser  # type: ignore[attr-defined]
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.sensors.line_pattern import LinePattern
from tests.siege import hostile


@pytest.mark.parametrize("door", hostile.DOORS)
def test_a_door_bears_whatever_comes(door: str) -> None:
    assert hostile.siege(door, 40, number=11) >= 40


def test_a_long_pattern_is_made_ready_as_quickly_as_a_short_one() -> None:
    """Found by input that follows the branches: a step for each letter, made one by one."""
    pattern = (
        "("
        + "\ufffd" * 10
        + "=([0-]="
        + "\ufffd" * 24
        + "=([0-\ufffd]=()+\x1b)+90-()+\x1b)+80m]\x1b)+0"
    )
    hostile._Meter(hostile.DOORS["serial line"]).take(pattern.encode())


# Memory: in a process of its own, against what it held before.

BOMBS = """
import sys, zipfile
import openpyxl
from journal.exchange import ExchangeError
from journal.exchange.loggers.table import read_table
from journal.exchange.spreadsheet import read_foreign
from journal.wording import text_of
from tests.siege.hostile import _parts

def held(what):
    lines = open("/proc/self/status").read().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(what)) // 1024

def book(name, sheet, strings=b""):
    with zipfile.ZipFile(name, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for part, data in _parts().items():
            data = data.replace(b"</Types>", KIND + b"</Types>") if strings else data
            archive.writestr(part, sheet if "sheet1" in part else data)
        archive.writestr("xl/sharedStrings.xml", strings)

KIND = (b'<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats'
        b'-officedocument.spreadsheetml.sharedStrings+xml"/>')
NS = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
END = b"</sheetData></worksheet>"
SST = b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>'
ROW = b"<row>" + b'<c t="s"><v>0</v></c>' * 250 + b"</row>"
book("row.xlsx", NS + b"<row>" + b"<c/>" * 18_000_000 + b"</row>" + END)
book("shared.xlsx", NS + ROW * 100 + END, SST + b"x" * 60_000 + b"</t></si></sst>")
book("deep.xlsx", NS + b"<row>" * 1_000_000 + END)
book("text.xlsx", NS + b'<row><c t="inlineStr"><is><t>' + b"y" * 90_000_000 + END)
before = held("VmRSS")
for name in ("row", "shared", "deep", "text"):
    try:
        print(name, read_foreign(name + ".xlsx").rows)
    except ExchangeError as error:
        print(text_of(error))
for data in (b"x" * 90_000_000, b"1,2\\n" * 3_100_000,
             b"1,2\\n" * 80_000 + (b"1," * 250 + b"\\n") * 200 + b"1,2\\n" * 39_800):
    try:
        read_table(data)
    except ExchangeError as error:
        print(text_of(error))
print("grown", held("VmHWM") - before)
"""


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system does not tell")
def test_a_file_that_would_take_gigabytes_is_refused_before_it_does(tmp_path: Path) -> None:
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", BOMBS], cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(root)},
        capture_output=True, text=True, timeout=300, check=True,
    )  # fmt: skip
    *refusals, grown = done.stdout.splitlines()
    for word in ("a row of more than 16,384 cells", "within each other", "text without an end",
                 "too long to be a row", "more than can be read", "10,000,000 cells",
                 "holds too much text"):  # fmt: skip
        assert any(word in one for one in refusals), (word, refusals)
    assert int(grown.split()[1]) < hostile.MOST_MB


# What is no plain file: in a process of its own, which must come to its end.

NO_FILES = """
import sys
from pathlib import Path
from journal.command import main
from journal.exchange import ExchangeError
from journal.exchange.bundle import read_bundle
from journal.exchange.loggers.table import read_table
from journal.exchange.plan_files import read_plan_file
from journal.exchange.spreadsheet import read_foreign
from journal.keeping import Journal, KeepingError
with Journal.create("k.vatside") as journal:
    for name in sys.argv[1:]:
        for read in (read_table, read_foreign, read_plan_file, Journal.open, journal.photos.bring,
                     lambda path: read_bundle(path, "out")):
            try:
                read(Path(name))
            except (ExchangeError, KeepingError):
                print("refused")
        print("code", main(["findings", name, "--score", "taste"]))
"""


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_a_pipe_a_device_a_socket_and_a_folder_are_no_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "folder.csv").mkdir()
    with socket.socket(socket.AF_UNIX) as ours:
        monkeypatch.chdir(tmp_path)
        ours.bind("socket.csv")
        names = ["pipe.csv", "folder.csv", "socket.csv", "/dev/zero", "/dev/tty"]
        done = subprocess.run(
            [sys.executable, "-c", NO_FILES, *names], cwd=tmp_path, timeout=60, check=True,
            capture_output=True, text=True,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        )  # fmt: skip
    assert done.stdout.split() == (["refused"] * 6 + ["code", "2"]) * len(names), done
    assert "not a file" in done.stderr


# A pattern that a person typed.


@pytest.mark.parametrize("pattern", ["(a+)+b", "((a+)+)+b", "(a|a)*b", "(.*)(.*)(.*)(.*)(.*)b"])
def test_a_pattern_that_tries_everything_takes_no_longer_on_a_longer_line(pattern: str) -> None:
    short, long = ("a" * 400, "a" * 1600)
    found = LinePattern(pattern)
    once, again = (
        min(hostile.seconds(lambda data: found.value(data.decode()), line.encode())
            for _ in range(3))
        for line in (short, long)
    )  # fmt: skip
    assert again < hostile.TIMES * max(once, hostile.LEAST_S)
    assert LinePattern(pattern).value("aab") is not None


_ITEMS = st.sampled_from(
    ["a", "b", ".", r"\d", r"\S", "[ab]", "[^a]", "x", "T=", "^", "$", r"\b", "(?i:A)"]
)
_OFTEN = st.sampled_from(["", "", "?", "*", "+", "*?", "+?", "??", "{2}", "{1,3}", "{0,2}?"])
_GROUPS = st.sampled_from(["(?:{})", "(?:{}|b)", "(?:|{})", "({})"])
_NESTED = st.recursive(
    st.lists(st.builds("{}{}".format, _ITEMS, _OFTEN), max_size=4).map("".join),
    lambda inner: st.builds(
        lambda before, group, held, often: before + group.format(held) + often,
        inner, _GROUPS, inner, _OFTEN,
    ),
    max_leaves=4,
)  # fmt: skip


def _repeats_nothing(parsed: Any) -> bool:
    """Whether a part that may be nothing stands more than once in a row."""
    if isinstance(parsed, _parser.SubPattern):
        return any(
            (str(op) in ("MAX_REPEAT", "MIN_REPEAT") and given[1] > 1
             and given[2].getwidth()[0] == 0) or _repeats_nothing(given)
            for op, given in parsed
        )  # fmt: skip
    return isinstance(parsed, tuple | list) and any(map(_repeats_nothing, parsed))


@settings(max_examples=300)
@given(_NESTED, _NESTED, _NESTED, st.text("abAx1 T=", max_size=9))
def test_a_pattern_finds_what_a_regular_expression_finds(
    before: str, value: str, after: str, line: str
) -> None:
    text = f"{before}({value}|x1){after}"
    try:
        found = re.search(text, line)
    except re.error:
        with pytest.raises(ExchangeError):
            LinePattern(text)
        return
    assume(len(text) <= 200)  # longer ones are refused for that
    if _repeats_nothing(_parser.parse(text)):
        with pytest.raises(ExchangeError, match=r"exchange.pattern-repeats-nothing"):
            LinePattern(text)
    else:
        assert LinePattern(text).value(line) == (found and (found[1] or ""))


@pytest.mark.parametrize("text", ["(a*)*", "(?:a|b?)+(x)", r"(\b)*", "(?:(a)?){2}", r"(,|\s*)+"])
def test_a_pattern_that_repeats_what_may_be_nothing_is_refused(text: str) -> None:
    """Programs differ in how often they take nothing."""
    with pytest.raises(ExchangeError, match=r"exchange.pattern-repeats-nothing"):
        LinePattern(text)
    assert LinePattern("(?:ab?)*(x)?").value("abax") == "x"


def test_a_pattern_of_more_than_500_steps_is_refused() -> None:
    # beside the letters: the two ends of the group, what is in it, and the match itself
    assert LinePattern("a{496}(x)").value("a" * 496 + "x") == "x"
    for text in ("a{497}(x)", "a{600}(x)"):
        with pytest.raises(ExchangeError, match=r"exchange.pattern-too-much"):
            LinePattern(text)


@pytest.mark.parametrize("text", [r"(a)\1", "(?=a)(a)", "(a{1000}){1000}", "(" * 199, "(a)" * 99])
def test_a_pattern_that_cannot_be_followed_in_one_look_is_refused(text: str) -> None:
    with pytest.raises(ExchangeError):
        LinePattern(text)

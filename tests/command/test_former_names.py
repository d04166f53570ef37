"""Names that commands and options had before: they still work, and no help shows them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from journal.command.groups import COMMANDS
from journal.command.parser import build_parser, command_named, former_names, with_new_names

README = Path(__file__).resolve().parents[2] / "journal" / "command" / "README.md"
FORMER = {
    "sittings": "sessions",
    "sitting-lay": "session-set-up",
    "sitting-join": "session-join",
    "sitting-give": "session-score",
    "sitting-key": "session-key",
    "sitting-lift": "session-reveal",
    "sitting-read": "session-results",
    "sitting-sheet": "session-sheet",
    "test-lay": "test-set-up",
    "test-lift": "test-reveal",
    "test-read": "test-results",
    "plan-export": "export-plan",
    "plan-import": "import-plan",
    "session-score --words": "session-score --note",
    "session-reveal --under": "session-reveal --cup-codes",
    "test-set-up --times": "test-set-up --sets",
    "test-set-up --for": "test-set-up --attribute",
    "test-set-up --foreseen": "test-set-up --expected",
    "test-size --found": "test-size --power",
    "test-size --foreseen": "test-size --expected",
    "watch --source": "watch --sensor",
}
OPTIONS = [(*old.split(), new.split()[1]) for old, new in FORMER.items() if " " in old]
NAMES = [(old, new) for old, new in FORMER.items() if " " not in old]
BOARD = ("--wheel", "HL-0001-A", "HL-0001-B", "--assessor", "Orla")


def test_every_former_name_is_known_and_listed():
    assert dict(former_names(COMMANDS)) == FORMER
    rows = re.findall(r"^\| `(.+?)` \| `(.+?)` \|$", README.read_text(encoding="utf-8"), re.M)
    assert dict(rows) == FORMER


@pytest.mark.parametrize(("old", "new"), NAMES)
def test_a_former_name_runs_the_same_command(run, old, new):
    assert command_named(old, COMMANDS) is command_named(new, COMMANDS) is not None
    helped = run(old, "--help")
    assert helped == run(new, "--help")
    assert (helped.code, helped.out.startswith(f"usage: vatside {new} ")) == (0, True)


@pytest.mark.parametrize(("name", "old", "new"), OPTIONS)
def test_a_former_option_is_taken(name, old, new):
    command = command_named(name, COMMANDS)
    assert command is not None
    option = next(one for one in command.options if one.name == new)
    value = [] if "action" in option.more else [str(option.more.get("choices", ["2"])[-1])]
    first = ["x" if one.more.get("type") is not int else "1" for one in command.options
             if not one.name.startswith("-")]  # fmt: skip
    first = [command.options[0].more["choices"][0], *first[1:]] if name == "test-size" else first
    first[1:2] = ["triangle"] if name == "test-set-up" else first[1:2]
    needed = [word for one in command.options if one.more.get("required") and one.name != new
              for word in (one.name, "x")]  # fmt: skip
    parser = build_parser(COMMANDS)

    def taken(*words):
        return parser.parse_args(with_new_names([name, *first, *needed, *words], command))

    plain = None if option.more.get("required") else taken()
    assert taken(old, *value) == taken(new, *value) != plain
    if value:
        assert taken(f"{old}={value[0]}") == taken(new, *value)


def test_a_former_name_written_wrongly_leads_to_the_new_one(refused):
    assert "Did you mean “session-set-up”?" in refused("siting-lay")


def test_no_help_shows_a_former_name(run):
    shown = run("--help").out + "".join(run(one.name, "--help").out for one in COMMANDS)
    for old, _ in NAMES:
        assert not re.search(rf"(?<![\w-]){old}(?![\w-])", shown), old
    for name, old, _ in OPTIONS:
        assert not re.search(rf"{old}(?![\w-])", run(name, "--help").out), old


def test_a_session_by_its_former_names(finished, run, tmp_path):
    set_up = run("sitting-lay", finished, *BOARD, "--codes", "shuffle", "--json")
    assert set_up.code == 0, set_up
    for cup, overall in (("1", "8"), ("2", "5")):
        words = ("latest", cup, "--assessor", "Orla", f"overall={overall}", "--words", "nutty")
        assert run("sitting-give", finished, *words).code == 0
    assert run("sitting-sheet", finished, "latest", tmp_path / "s.pdf").code == 0
    key = run("sitting-key", finished, "latest", "--helper", "--json").data
    under = ",".join(row["code"] for row in key)
    revealed = run("sitting-lift", finished, "latest", f"--under={under}", "--json")
    assert revealed.code == 0, revealed
    assert {given["words"] for s in revealed.data["samples"] for given in s["given"]} == {"nutty"}
    read = run("sitting-read", finished, "latest", "--json")
    assert read == run("session-results", finished, "latest", "--json")
    assert run("sittings", finished, "--json") == run("sessions", finished, "--json")


def test_a_panel_test_by_its_former_names(finished, run):
    asked = ("--times", "3", "--for", "bitter", "--foreseen", "first")
    set_up = run("test-lay", finished, "paired", *BOARD, *asked, "--json")
    assert len(set_up.data["sets"]) == 3
    for one in set_up.data["sets"]:
        run("test-answer", finished, "latest", one["set"], one["codes"][0])
    revealed = run("test-lift", finished, "latest", "--json").data
    assert revealed == run("test-read", finished, "latest", "--json").data
    assert revealed["for"] == "bitter"
    assert run("test-size", "paired", "--found", "90", "--foreseen") == run(
        "test-size", "paired", "--power", "90", "--expected"
    )
    assert run("test-size", "paired", "--found", "90") != run("test-size", "paired")


def test_plans_and_sensors_by_their_former_names(kitchen, begun, run, refused, tmp_path):
    path = tmp_path / "plan.toml"
    assert run("plan-export", "builtin", "tomme", path).code == 0
    assert run("plan-import", kitchen, path, "--json").data["plan"] == "tomme"
    assert "no sensor called “Oven”" in refused("watch", begun, "latest", "--source", "Oven")

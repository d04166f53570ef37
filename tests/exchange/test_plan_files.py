"""Plans as files of their own: written, read with every fault named, brought into a journal."""

from __future__ import annotations

import errno
import os
from dataclasses import replace
from pathlib import Path

import pytest

from journal.exchange import ExchangeError
from journal.exchange.plan_files import bring_in, coming, read_plan_file, write_plan_file
from journal.keeping import Journal
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import Plan
from journal.wording import text_of


@pytest.fixture
def journal(tmp_path: Path):
    with Journal.create(tmp_path / "k.vatside", letters="HL", zone="Europe/London") as made:
        yield made


def through_a_file(plan: Plan, folder: Path) -> Plan:
    path = folder / "plan.toml"
    write_plan_file(plan, path)
    return read_plan_file(path)


def test_every_plan_goes_through_a_file_unchanged(tmp_path):
    for plan in builtin_plans():
        assert through_a_file(plan, tmp_path) == replace(plan, builtin=False)


def test_a_new_name_is_added(journal, tmp_path):
    plan = replace(builtin_plan("tomme"), name="our tomme", builtin=False)
    found = coming(journal, through_a_file(plan, tmp_path))
    assert (found.known, found.same) == (None, False)
    kept = bring_in(journal, found)
    assert journal.plans.by_name("our tomme") == kept
    # It has the identity of a plan that comes along, which must stay free for that one.
    assert kept.uuid != plan.uuid
    assert journal.plans.save(builtin_plan("tomme")).uuid == plan.uuid


def test_a_known_name_becomes_the_next_version(journal, tmp_path):
    first = journal.plans.save(replace(builtin_plan("tomme"), builtin=False))
    changed = replace(first, milk_l=14.0)
    found = coming(journal, through_a_file(changed, tmp_path))
    assert (found.known, found.plan.version) == (first, first.version + 1)
    assert bring_in(journal, found).version == first.version + 1
    assert [plan.milk_l for plan in journal.plans.versions("tomme")] == [first.milk_l, 14.0]
    assert journal.undo() is not None
    assert journal.plans.by_name("tomme") == first


def test_one_that_comes_along_is_known_too(journal, tmp_path):
    changed = replace(builtin_plan("lactic"), milk_l=5.0)
    found = coming(journal, through_a_file(changed, tmp_path))
    assert found.known == builtin_plan("lactic")
    assert bring_in(journal, found).version == found.known.version + 1


def test_what_says_the_same_changes_nothing(journal, tmp_path):
    found = coming(journal, through_a_file(builtin_plan("tomme"), tmp_path))
    assert found.same
    bring_in(journal, found)
    assert journal.plans.names() == []


def test_a_plan_whose_identity_lies_in_the_bin_is_kept_under_a_fresh_one(journal, tmp_path):
    mine = journal.plans.save(replace(builtin_plan("tomme"), name="mine", uuid=str(_uuid(7))))
    journal.plans.remove("mine")
    kept = bring_in(journal, coming(journal, through_a_file(mine, tmp_path)))
    assert kept.name == "mine"
    assert kept.uuid != mine.uuid


def _uuid(number: int):
    from uuid import UUID

    return UUID(int=number, version=4)


@pytest.mark.parametrize(
    ("raw", "output"),
    [
        (b'name = "x"\n[[stage]]\nkind = "warm"\nlength = "soon"\n', "“b.toml”, line 4: stage 1"),
        (b'name = "x"\nmilk "12 l"\n', "“b.toml”, line 2: This cannot be read"),
        (b'name = "x"\nnote = "\xff"\n', "“b.toml”, line 2: this is not UTF-8 text"),
        (b"", "“b.toml”: plan: the key “name” is missing"),
        (b"#" * 1_000_001, "“b.toml” is too large"),
    ],
)
def test_a_broken_file_names_itself_its_line_and_the_reason(tmp_path, raw, output):
    path = tmp_path / "b.toml"
    path.write_bytes(raw)
    with pytest.raises(ExchangeError) as refused:
        read_plan_file(path)
    assert text_of(refused.value).startswith(output)


def test_a_file_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(
        ExchangeError, match=rf"keeping.file-not-read .*“none.toml”.*{os.strerror(errno.ENOENT)}"
    ):
        read_plan_file(tmp_path / "none.toml")
    with pytest.raises(ExchangeError, match=r"keeping.file-not-read"):
        read_plan_file(tmp_path)
    with pytest.raises(ExchangeError, match=r"exchange.not-written .*“p.toml”"):
        write_plan_file(builtin_plan("tomme"), tmp_path / "no folder" / "p.toml")


def test_a_mark_at_the_files_begin_is_read_over(tmp_path):
    path = tmp_path / "m.toml"
    write_plan_file(builtin_plan("tomme"), path)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read_plan_file(path).name == "tomme"

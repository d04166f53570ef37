"""Bundles and merges by command."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

from journal.keeping import Journal
from journal.keeping.backups import folder_of
from journal.keeping.photos import photos_of
from journal.records import id_of
from journal.wording import Style, written_in
from journal.wording.merging import both_words
from tests.command.conftest import PLAN


def test_a_bundle_is_written_and_taken_out(begun, run, refused, tmp_path):
    out = tmp_path / "stick.vatside.zip"
    made = run("bundle", begun, out, "--json").data
    assert made == {"path": str(out), "photos": 0, "plans": 1}
    assert "exists already" in refused("bundle", begun, out)
    taken = run("unbundle", out, tmp_path / "new")
    path = tmp_path / "new" / begun.name
    assert taken.out.startswith(f"Took {path} out of the bundle")
    assert run("check", path).code == 0
    assert run("makes", path, "--json").data == run("makes", begun, "--json").data
    assert "already" in refused("unbundle", out, tmp_path / "new")
    assert not photos_of(path).exists()


def test_a_copy_that_went_on_comes_back(begun, run, refused, tmp_path):
    (tmp_path / "stick").mkdir()
    other = shutil.copy(begun, tmp_path / "stick" / "copy.vatside")
    run("log", other, "latest", "milk-temp", "31.5")
    run("begin", other, "--plan", PLAN, "--milk", "10 L")
    run("begin", begun, "--plan", PLAN, "--milk", "11 L")
    before = run("makes", begun, "--json").data
    would = run("merge", begun, other, "--dry-run")
    assert "Nothing was changed." in would.out
    assert run("makes", begun, "--json").data == before
    done = run("merge", begun, other, "--json").data
    assert (done["came"]["make"], done["readings"], done["differs"]) == (1, 1, [])
    assert [one["noun"] for one in done["codes"]] == ["make"]
    assert Path(done["backup"]).parent == folder_of(begun)
    assert len(run("makes", begun, "--json").data) == len(before) + 1
    again = run("merge", begun, other)
    assert again.out.strip() == "There is nothing new in it."
    strange = tmp_path / "strange.vatside"
    Journal.create(strange).close()
    assert "not copies of one journal" in refused("merge", begun, strange)
    assert run("check", begun).code == 0


def test_what_both_changed_is_listed_with_both_values(begun, run, tmp_path):
    with Journal.open(begun) as journal:
        make = journal.makes.by_code("latest")
        journal.makes.finish(id_of(make), (1.2,), make.started_ms + 1)
    other = shutil.copy(begun, tmp_path / "copy.vatside")
    for path, words in ((other, "dry"), (begun, "mould")):
        with Journal.open(path) as journal:
            journal.wheels.save(replace(journal.wheels.get(1), remark=words))
    [one] = run("merge", begun, other, "--dry-run", "--json").data["differs"]
    assert (one["column"], one["stands"], one["other"], one["from_here"]) == (
        "remark", "mould", "dry", True,
    )  # fmt: skip
    assert (
        f"Wheel of {one['about']}: remark is “mould” in this journal and “dry” in the other copy. "
        "“mould” stands." in run("merge", begun, other).out
    )


def test_what_both_changed_is_in_the_units_that_were_chosen(begun, tmp_path):
    """The words that the command and the dialog share: a pound is 0.453 592 37 kg (NIST SP 811)."""
    with Journal.open(begun) as journal:
        make = journal.makes.by_code("latest")
        journal.makes.finish(id_of(make), (1.2,), make.started_ms + 1)
    other = shutil.copy(begun, tmp_path / "copy.vatside")
    for path, kg in ((other, 2 * 0.45359237), (begun, 0.45359237)):
        with Journal.open(path) as journal:
            journal.wheels.save(replace(journal.wheels.get(1), green_weight_kg=kg))
    with Journal.open(begun) as here, Journal.open(other) as there:
        [one] = here.merging(there).differences
    with written_in(Style(mass="lb")):
        words = both_words(one, "UTC")
    assert words.endswith("green weight is 1 lb in this journal and 2 lb in the other copy.")
    assert "0.907 kg in the other copy" in both_words(one, "UTC")
    near = replace(one, column="ph", stands=5.123, other=5.124, from_here=True)
    words = both_words(near, "UTC")
    assert words.endswith("it is pH 5.123 in this journal and pH 5.124 in the other copy.")

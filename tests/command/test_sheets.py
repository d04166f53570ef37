"""sheet, record, export-plan and import-plan: what is printed, and plans as files."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from journal.keeping import Journal
from journal.records.plan_text import builtin_plan, read_plan


def drawn(*words: object) -> subprocess.CompletedProcess[str]:
    """A command that draws, in a process of its own: it sets up its own application."""
    place = {name: value for name, value in os.environ.items() if name != "QT_QPA_PLATFORM"}
    place |= {"TZ": "Europe/London"}
    place.pop("DISPLAY", None)
    return subprocess.run(
        [sys.executable, "-P", "-m", "journal.command", *map(str, words)],
        capture_output=True, text=True, check=False, env=place,
    )  # fmt: skip


def text_of(path: Path) -> str:
    return "".join("".join(page.extract_text().split()) for page in PdfReader(path).pages)


def test_a_sheet_needs_no_journal_and_no_display(tmp_path):
    out = tmp_path / "sheet.pdf"
    done = drawn("sheet", "Cheddar Type", out, "--milk", "24l", "--start", "2026-07-14T08:00",
                 "--paper", "Letter", "--json")  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert f'"pages": {len(PdfReader(out).pages)}' in done.stdout
    assert '"start_at": "2026-07-14T08:00:00+01:00"' in done.stdout
    page = PdfReader(out).pages[0].mediabox
    assert (float(page.width), float(page.height)) == pytest.approx((612, 792), abs=1)
    text = text_of(out)
    assert "24L" in text
    assert "beginsTuesday14July2026at08:00" in text


def test_a_sheet_of_a_journals_plan_and_a_record_of_its_make(begun, tmp_path):
    sheet, record = tmp_path / "s.pdf", tmp_path / "r.pdf"
    done = drawn("sheet", "cheddar type", sheet, "--journal", begun)
    pages = len(PdfReader(sheet).pages)
    assert done.stdout == f"Wrote the make sheet of cheddar type, {pages} pages, to {sheet}.\n", (
        done
    )
    done = drawn("record", begun, "latest", record)
    assert done.stdout.startswith("Wrote the record of HL-0001, "), done
    assert "HL-0001" in text_of(record)


def test_a_sheet_of_a_plans_own_file(tmp_path, run):
    plan, out = tmp_path / "p.toml", tmp_path / "s.pdf"
    assert run("export-plan", "builtin", "Tomme", plan).code == 0
    assert drawn("sheet", plan, out).returncode == 0
    assert "Tomme" in text_of(out)


def test_what_is_no_pdf_or_no_plan_is_refused(tmp_path, begun, refused):
    before = begun.read_bytes()
    assert "does not end in .pdf" in refused("record", begun, "latest", begun)
    assert begun.read_bytes() == before
    assert "no folder" in refused("sheet", "tomme", tmp_path / "none" / "s.pdf")
    assert "There is no plan called “tom”" in refused("sheet", "tom", tmp_path / "s.pdf")
    assert "invalid choice" in refused("sheet", "tomme", tmp_path / "s.pdf", "--paper", "A5")
    refused("record", begun, "HL-0099", tmp_path / "r.pdf")
    refused("sheet", "tomme", tmp_path / "s.pdf", "--milk", "12 kg")
    assert not list(tmp_path.glob("*.pdf"))


def test_a_plan_goes_out_and_comes_back_changed(kitchen, tmp_path, run, refused):
    path = tmp_path / "plan.toml"
    done = run("export-plan", "builtin", "tomme", path)
    first = builtin_plan("tomme").version
    assert done.out == f"Wrote tomme, version {first}, to {path}.\n"
    assert read_plan(path.read_text(encoding="utf-8")).name == "tomme"
    same = run("import-plan", kitchen, path, "--json")
    assert same.data == {"plan": "tomme", "version": first, "kept": False}
    text = path.read_text(encoding="utf-8")
    milk = f'milk = "{builtin_plan("tomme").milk_l:g} l"'
    assert milk in text
    path.write_text(text.replace(milk, 'milk = "17 l"'), encoding="utf-8")
    done = run("import-plan", kitchen, path)
    assert done.out == f"Saved tomme as version {first + 1}, after version {first}.\n"
    with Journal.open(kitchen, read_only=True) as journal:
        assert journal.plans.by_name("tomme").milk_l == 17.0
    assert run("export-plan", kitchen, "tomme", path).code == 0
    assert read_plan(path.read_text(encoding="utf-8")).milk_l == 17.0


def test_a_broken_plan_names_line_and_reason(kitchen, tmp_path, refused):
    path = tmp_path / "plan.toml"
    path.write_text('name = "x"\n[[stage]]\nkind = "warm"\nlength = "30 mins"\n', encoding="utf-8")
    output = refused("import-plan", kitchen, path)
    assert output.startswith(
        "“plan.toml”, line 4: stage 1 (warm), key “length”: “30 mins” cannot be read as"
    )
    assert "does not end in .toml" in refused("export-plan", "builtin", "tomme", "out.txt")
    with Journal.open(kitchen, read_only=True) as journal:
        assert journal.plans.names() == []

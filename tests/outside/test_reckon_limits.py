"""Limits of acid, of growth and of heat by `vatside reckon`, against what is published.

Growth: rows of data/danger_growth.csv, as read from the sources that they name.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from journal.records.tables import table
from tests.outside.test_reckon_trade import asked, refusal

DATA = Path(__file__).parent / "data"
GERMS = {
    "Listeria monocytogenes (grow)": ("D031", "D032", "D033"),
    "Staphylococcus aureus (grow)": ("D013", "D015"),
    "Staphylococcus aureus (make toxin)": ("D014",),
    "Escherichia coli (grow)": ("D024",),
    "Salmonella (grow)": ("D028", "D029"),
    "Clostridium botulinum, proteolytic (make toxin)": ("D054",),
    "Clostridium botulinum, non-proteolytic (make toxin)": ("D055",),
}


def published(row: str) -> str:
    """The limit that a row of the data prints."""
    with (DATA / "danger_growth.csv").open(encoding="utf-8", newline="") as file:
        return next(r["limit"] for r in csv.DictReader(file) if r["id"] == row)


def least(row: str, what: str) -> float | None:
    """The least pH, °C or water activity that a row prints."""
    output = published(row)
    found = {
        "ph": re.search(r"pH (?:over |from )?(\d+\.\d+)", output),
        "temp": re.match(r"(?:from )?(-?\d+(?:\.\d+)?)", output),
        "aw": re.search(r"aw (?:down to |over )?(0\.\d+)", output),
    }[what]
    return float(found[1]) if found else None


def names(lines: list[str]) -> set[str]:
    return {line.split(":")[0] for line in lines}


UNPUBLISHED = {("Clostridium botulinum, non-proteolytic (make toxin)", "ph")}
OFF = {"ph": 0.1, "temp": 1.0, "aw": 0.005}  # what a measurement may be off, as the answer says


@pytest.mark.parametrize("what", ["ph", "temp", "aw"])
@pytest.mark.parametrize("germ", GERMS)
def test_just_above_the_least_of_any_source_a_germ_may_grow(germ, what, capsys):
    """Each source's own limit lies on the side where the germ may grow, the error of a meter in."""
    limits = [found for row in GERMS[germ] if (found := least(row, what)) is not None]
    assert bool(limits) is ((germ, what) not in UNPUBLISHED)
    for limit in limits:
        unit = " C" if what == "temp" else ""
        data = asked(f"growth-limits '{what}={limit}{unit}'", capsys)
        assert germ in names(data["may_grow"]), f"{germ} at {what} {limit}"
        near = limit - 0.9 * OFF[what]
        data = asked(f"growth-limits '{what}={near}{unit}'", capsys)
        assert germ in names(data["may_grow"]), f"{germ} at {what} {near}"


@pytest.mark.parametrize(
    ("line", "held", "may"),
    [
        # FSANZ 2016: pH 4.0; Adams and Moss: 4.0; FSANZ: Salmonella 3.8.
        ("ph=3.6", {*GERMS}, set()),
        ("ph=3.85", {"Listeria monocytogenes (grow)"}, {"Salmonella (grow)"}),
        # FDA handbook: A and B from 10 °C, E from 3.3 °C; EU guidance: Listeria from −1.5 °C.
        ("temp=4C", {"Clostridium botulinum, proteolytic (make toxin)", "Salmonella (grow)"},
         {"Listeria monocytogenes (grow)", "Clostridium botulinum, non-proteolytic (make toxin)"}),
        # Adams and Moss: growth to 0.83, toxin to 0.86.
        ("aw=0.84", {"Staphylococcus aureus (make toxin)", "Listeria monocytogenes (grow)"},
         {"Staphylococcus aureus (grow)"}),
        ("aw=0.80", {"Staphylococcus aureus (grow)"}, set()),
    ],
)  # fmt: skip
def test_what_is_held_back_and_what_may_grow(line, held, may, capsys):
    data = asked(f"growth-limits {line}", capsys)
    assert held <= names(data["held_back"])
    assert may <= names(data["may_grow"])
    assert not names(data["held_back"]) & names(data["may_grow"])
    assert len(data["held_back"]) + len(data["may_grow"]) == 9
    assert any("local codes and licensed practice decide" in words for words in data["cautions"])
    assert any("may be off on the germ's side" in words for words in data["assumed"])


@pytest.mark.parametrize(
    ("line", "rules"),
    [
        ("ph=4.3", ["pH under 4.4"]),
        ("aw=0.91", ["water activity under 0.92"]),
        ("ph=4.9 aw=0.93", ["pH under 5.0 with water activity under 0.94"]),
        ("ph=4.9 moisture_pct=38", ["pH under 5.0 with moisture under 39 %"]),
        ("ph=5.1 aw=0.93 moisture_pct=38", []),
        ("ph=4.9 aw=0.95 moisture_pct=40", []),
    ],
)
def test_the_import_rule_for_listeria(line, rules, capsys):
    """Australian Imported Food Inspection Scheme, CHE 07-2016 (row D030 of the data)."""
    assert "pH under 4.4; or aw under 0.92; or pH under 5.0 with aw under 0.94" in published("D030")
    assert asked(f"growth-limits {line}", capsys)["listeria_rule"] == rules


def test_growth_needs_a_condition_and_every_row_a_source(capsys):
    assert "needs at least one" in refusal("growth-limits moisture_pct=40", capsys)
    assert "between 0 and 1" in refusal("growth-limits aw=96", capsys)
    assert all(table("growth_limits")["source"])


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("family='uncooked pressed' hours=6 ph=5.8", "good"),
        ("family='uncooked pressed' hours=6 ph=6.0", "slow"),
        ("family='uncooked pressed' hours=6 ph=6.5", "failed"),
        ("family=lactic hours=24 acidity='60 D'", "good"),
        ("family=lactic hours=24 acidity='47 D'", "slow"),
        ("family=lactic hours=24 acidity='30 D'", "failed"),
        ("family=lactic hours=12 ph=6.4", "good"),
    ],
)
def test_a_reading_against_the_limit_of_its_family(line, verdict, capsys):
    """Delbes et al. 2006 (pH 5.8, 6.3; toxin at 6.5 to 6.6); a teaching page after Corcy 1991."""
    data = asked(f"acid-limits {line}", capsys)
    assert data["verdict"].startswith(verdict)
    assert any("do not eat such a cheese" in words for words in data["cautions"])


def test_a_reading_that_no_limit_is_for(capsys):
    early = asked("acid-limits family='uncooked pressed' hours=3 ph=6.4", capsys)
    assert early["verdict"] is None
    assert any("comes later" in words for words in early["warnings"])
    late = asked("acid-limits family='uncooked pressed' hours=20 ph=5.3", capsys)
    assert any("does not say whether" in words for words in late["warnings"])
    assert "own family only" in refusal("acid-limits family='any other' hours=6 ph=5", capsys)
    assert "goes by ph" in refusal(
        "acid-limits family='uncooked pressed' hours=6 acidity='30 D'", capsys
    )
    listed = asked("acid-limits family=all", capsys)
    assert len(listed["limits"]) == len(table("acid_limits")["family"])


def test_what_the_thermometer_must_show(capsys):
    """PMO table (MCL 288.697): 145 °F for 30 min, 150 °F with 10 % fat or sugar; error on top."""
    plain = asked("pasteurise fat_pct=4 solids_pct=13 sugar_pct=0 error=0", capsys)
    assert plain["must_show"][:2] == ["62.8 °C (145 °F) for 30 min", "71.7 °C (161 °F) for 15 s"]
    assert plain["pair_met"] is None
    assert plain["warnings"] == []
    rich = asked("pasteurise fat_pct=12", capsys)
    assert rich["must_show"][0] == "66.1 °C (151 °F) for 30 min"
    assert any("0.5 °C too high" in words for words in rich["assumed"])
    cold = asked("pasteurise temp=60C", capsys)
    assert cold["hold_min"] is None
    assert any("treat it as raw" in words for words in cold["warnings"])
    assert "needs temp" in refusal("pasteurise minutes=30", capsys)

"""Brine, packets and labels by `vatside reckon`, where a whole table or a sentence is published.

Sources, short: Guelph is A. R. Hill & M. A. Ferrer, Cheese Making Technology, University of Guelph;
T&F is C. Thom & W. W. Fisk, The Book of Cheese, 1918.
"""

from __future__ import annotations

import json
import shlex

import pytest

from journal.command import main


def asked(line: str, capsys: pytest.CaptureFixture[str]) -> dict:
    """The JSON answer to a line of TOPIC KEY=VALUE."""
    assert main(["reckon", *shlex.split(line), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def refusal(line: str, capsys: pytest.CaptureFixture[str]) -> str:
    """The sentence that line is refused with."""
    assert main(["reckon", *shlex.split(line)]) == 2
    report = capsys.readouterr()
    assert report.out == ""
    assert report.err.count("\n") == 1
    return report.err


# (wheel, salt % and moisture %, cheese's diffusion, h published). T: a dairy textbook's table of
# brining at 20 to 22 %, 10 to 15 °C, read where a page restates it. The wheels' sizes are ours.
BRINED = [
    ("diameter=75 height=25", 1.5, 56, "camembert", (0.5, 0.5), "T: the least of soft, 0.1 kg"),
    ("diameter=160 height=46", 2.5, 56, "camembert", (3, 3), "T: the most of soft, 1 kg"),
    ("diameter=110 height=30", 2.0, 56, "camembert", (1, 4), "Guelph: 250 to 350 g"),
    ("diameter=100 height=60", 1.8, 42, "gouda", (20, 20), "Guelph gouda: 0.5 kg"),
    ("diameter=150 height=110", 2.0, 43, "gouda", (72, 72), "Guelph: edam of 1.5 to 3 kg"),
    ("diameter=170 height=80", 1.9, 43, "gouda", (24, 24), "T: the least of semi-hard, 2 kg"),
    ("diameter=230 height=90", 1.9, 43, "gouda", (24, 24), "Guelph: 3 to 5 kg"),
    ("diameter=350 height=115", 1.9, 43, "gouda", (72, 72), "T: the most of semi-hard, 12 kg"),
    ("diameter=250 height=165", 2.5, 35, "romano", (48, 96), "Guelph romano: 9 kg"),
    ("diameter=400 height=145", 1.9, 42, "gouda", (120, 120), "Guelph: 20 kg, 5 days or more"),
    ("diameter=400 height=310", 1.7, 31, "sbrinz", (504, 504), "T: grana of 45 kg, 3 weeks"),
    ("diameter=850 height=165", 0.9, 38, "emmental", (72, 72), "T: emmental of 100 kg, 3 days"),
]


@pytest.mark.parametrize(("size", "salt", "moisture", "cheese", "hours", "source"), BRINED)
def test_published_times_in_brine_lie_between_a_third_and_five_times_diffusion(
    size, salt, moisture, cheese, hours, source, capsys
):
    line = f"target={salt} moisture_pct={moisture} pct_w_w=21 cheese={cheese} {size}"
    data = asked(f"brining-time {line}", capsys)
    assert source
    assert hours[0] >= data["brining_h"] / 3
    assert hours[1] <= 5 * data["brining_h"]
    low, high = data["ranges"]["brining_h"]
    assert low <= data["brining_h"] <= high
    assert any("a third and five times" in words for words in data["cautions"])


def test_a_published_time_stands_beside_the_diffusion(capsys):
    """Guelph: edam of 1.5 to 3 kg three days; diffusion alone says under one."""
    size = "diameter=150 height=110"
    data = asked(f"brining-time target=2 moisture_pct=43 {size}", capsys)
    assert any(one.startswith("edam 1.5 to 3 kg: 72 h (Univers") for one in data["published"])
    assert any("Begin with the published time" in words for words in data["warnings"])
    assert "at most" in refusal(f"brining-time target=30 moisture_pct=43 {size}", capsys)


def test_a_brine_of_whey_and_one_over_an_old_one(capsys):
    """Exact: 10 kg of 20 % over 5 kg of 16 % takes 1.2 kg of salt and 3.8 kg of water."""
    data = asked("brine-recipe brine=10kg pct_w_w=20 have=5kg have_pct=16", capsys)
    assert data["salt_kg"] == pytest.approx(1.2)
    assert data["water_kg"] == pytest.approx(3.8)
    assert data["calcium_g"] == pytest.approx(5)
    whey = asked("brine-recipe brine=10kg pct_w_w=20 liquid=whey", capsys)
    assert (whey["calcium_ml"], whey["vinegar_ml"]) == (0, 0)
    assert any("boil it" in words for words in whey["assumed"])
    line = "brine-recipe brine=10kg pct_w_w=10 have=9kg have_pct=20"
    assert "take less of it" in refusal(line, capsys)


def test_a_brine_to_keep_white_cheese_in(capsys):
    """Pappas et al. 1996: 7 %; Listeria in used brine: Larson et al. 1999."""
    data = asked("brine-recipe brine=5L use=keeping", capsys)
    assert data["g_per_kg_water"] == pytest.approx(75.3, abs=0.05)
    assert any("Listeria" in words for words in data["cautions"])


def test_the_vinegar_of_kitchen_recipes_for_soft_to_hard_water(capsys):
    """Dealers' recipes for a US gallon: a teaspoon to a tablespoon, for pH 5.2 to 5.9."""
    low = asked("brine-recipe brine=4.8kg pct_w_w=21 ph=5.6 alkalinity=40", capsys)["vinegar_ml"]
    high = asked("brine-recipe brine=4.8kg pct_w_w=21 ph=5.4 alkalinity=150", capsys)["vinegar_ml"]
    assert low < 5
    assert 10 < high < 20
    unknown = asked("brine-recipe brine=4.8kg pct_w_w=21 ph=5.4", capsys)
    least, most = unknown["ranges"]["vinegar_ml"]
    assert unknown["vinegar_ml"] == pytest.approx(high)
    assert least < 5 < high < most


def test_a_packet_says_how_little_it_is_and_what_it_is_worth(capsys):
    """Mullan: 10^11 to 10^13 cells in a g, 10^9 in a ml of grown starter."""
    line = "culture-units milk=10L dose='4 u/100 L' packet_units=50 packet_g=8"
    data = asked(line, capsys)
    assert data["packets"] == pytest.approx(0.008)
    assert data["g"] == pytest.approx(0.064)
    assert any("kitchen scale" in words for words in data["warnings"])
    assert data["ranges"]["bulk_pct"] == pytest.approx([0.064, 6.4])
    assert any("do not eat such a cheese" in words for words in data["cautions"])
    old = asked(f"{line} strength=50", capsys)
    assert old["g"] == pytest.approx(0.128)
    assert "packet_milk" in refusal("culture-units milk=10L", capsys)


def test_long_values_stand_each_on_a_line_of_its_own(capsys):
    line = "brining-time target=2 moisture_pct=43 diameter=230 height=90"
    assert main(["reckon", *line.split()]) == 0
    output = capsys.readouterr().out.splitlines()
    first = next(i for i, one in enumerate(output) if one.startswith("published "))
    assert "edam 1.5 to 3 kg: 72 h" in output[first]
    assert output[first + 1].strip().startswith("semi-hard 2 to 12 kg: 24 to 72 h")


def test_a_strength_on_the_label_is_read_as_it_is_printed(capsys):
    for typed in ("1:10 000", "'1 : 10 000'", "1:10000"):
        data = asked(f"rennet milk=10L strength={typed} minutes=40min temp=35C", capsys)
        assert data["ml"] == pytest.approx(1)
    assert "15000" in refusal("rennet milk=10L strength=1:15,000", capsys)
    assert "no dose in IMCU" in refusal("rennet milk=10L strength=1:15000 dose=50", capsys)
    assert "not both" in refusal("rennet milk=10L strength=200 sold=single", capsys)
    cold = asked("rennet milk=10L strength=1:10000 minutes=40min temp=30C", capsys)
    assert cold["ml"] > 1

"""Mixes from labels, moulds, springs and cost by `vatside reckon`."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from journal.reckoning import milk_mix
from tests.outside.test_reckon_trade import asked, refusal

DATA = Path(__file__).parent / "data"


def products() -> list[dict[str, str]]:
    with (DATA / "milk_density.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", products(), ids=lambda row: row["product"])
def test_density_of_products_by_their_parts(row):
    """University of Guelph (Goff): skim milk to heavy cream at 20 °C."""
    found = milk_mix.density_of_parts(float(row["fat_pct"]), float(row["snf_pct"]))
    assert found == pytest.approx(float(row["density_20C"]), abs=2e-3)


def label(fat_pct: float, snf_pct: float, protein_pct: float) -> str:
    """What the label of a milk of so many % would print, g in 100 ml."""
    dense = milk_mix.density_of_parts(fat_pct, snf_pct)
    fat, protein, snf = (one * dense for one in (fat_pct, protein_pct, snf_pct))
    ash = milk_mix.ASH_G_PER_100_ML * (1 - fat / (100 * milk_mix.FAT_KG_PER_L))
    return f"{fat:.3f}, {protein:.3f}, {snf - protein - ash:.3f}"


def test_cream_in_milk_from_two_labels(capsys):
    """University of Guelph, standardization problems: 500 kg of 4 % and 120 of 35 % make 10 %."""
    milk, cream = label(4, 8.95, 3.3), label(35, 5.7, 2.1)
    line = f"milk-mix total=620kg milk_label='{milk}' cream_label='{cream}' want_fat_pct=10"
    data = asked(line, capsys)
    assert data["milk_kg"] == pytest.approx(500, abs=0.1)
    assert data["cream_kg"] == pytest.approx(120, abs=0.1)
    assert data["cream_l"] > data["cream_kg"]
    assert data["milk_l"] < data["milk_kg"]
    assert data["fat_pct"] == pytest.approx(10)


def test_skim_milk_in_cream_and_in_milk(capsys):
    """The same: 160 kg of 40 % to 32 with 40 of skim; 2.6 parts of 3.9 % with 1.3 of skim."""
    skim = label(0, 8.9, 3.4)
    cream = asked(
        f"milk-mix total=200kg milk_label='{label(40, 5.3, 2)}' skim_label='{skim}' "
        "want_fat_pct=32",
        capsys,
    )
    assert cream["milk_kg"] == pytest.approx(160, abs=0.1)
    milk = asked(
        f"milk-mix total=3.9kg milk_label='{label(3.9, 8.9, 3.3)}' skim_label='{skim}' "
        "want_fat_pct=2.6",
        capsys,
    )
    assert milk["cream_kg"] == pytest.approx(1.3, abs=2e-3)


def test_three_parts_keep_both_wishes(capsys):
    """Exact: what comes out holds the fat and the protein asked for."""
    parts = "milk_label='3.5, 3.3' cream_label='30, 2.3' powder_label='1, 36'"
    data = asked(f"milk-mix total=10L {parts} want_fat_pct=4.2 want_protein_pct=3.6", capsys)
    assert (data["fat_pct"], data["protein_pct"]) == (pytest.approx(4.2), pytest.approx(3.6))
    kg = data["milk_kg"] + data["cream_kg"] + data["powder_g"] / 1000
    assert kg == pytest.approx(10 * data["density_kg_per_l"])
    assert data["casein_fat"] == pytest.approx(3.6 * 2.6 / 3.3 / 4.2)
    assert any("low-heat" in words for words in data["cautions"])
    far = refusal(f"milk-mix total=10L {parts} want_fat_pct=40 want_protein_pct=3.6", capsys)
    assert "No mix" in far
    assert "one wish fewer" in refusal(
        "milk-mix total=10L milk_label='3.5, 3.3' cream_label='30, 2.3' want_fat_pct=4 "
        "want_protein_pct=3",
        capsys,
    )
    assert "two or three labels" in refusal("milk-mix total=10L milk_label='3.5, 3.3'", capsys)
    assert "like 3.5, 3.3" in refusal(
        "milk-mix total=10L milk_label=3.5 cream_label='30, 2' want_fat_pct=9", capsys
    )


def test_moulds_of_a_camembert(capsys):
    """Thom & Fisk 1918, par. 152: 100 lb of milk, 13 lb, some 26 cheeses of half a pound; par. 147:
    2 quarts go into a hoop of 4 5/8 by 5 in."""
    line = "moulds milk=100lb yield=13 mould=4.625in"
    data = asked(f"{line} weight='0.5 lb'", capsys)
    assert data["moulds"] == 26
    filled = asked(f"{line} mould_height=5in curd=ladled", capsys)
    assert 22 <= filled["moulds"] <= 26
    assert filled["milk_each_l"] <= 2 * 0.946353
    assert filled["fits"] is True
    few = asked(f"{line} weight='1 lb' mould_height=5in curd=ladled", capsys)
    assert few["fits"] is False


@pytest.mark.parametrize(
    ("kg", "wide", "low", "high"), [(0.25, "10 cm", 30, 35), (0.08, "6 cm", 25, 30)]
)
def test_the_height_of_a_camembert(kg, wide, low, high, capsys):
    """Codex C-33-1973: 10 to 11 cm by 3 to 3.5, from 250 g; small 6 to 8.5 by 2.5 to 3, 80 g."""
    line = f"moulds milk={100 * kg}kg yield=10 weight={kg}kg mould='{wide}'"
    data = asked(line, capsys)
    assert data["moulds"] == 10
    assert low - 1 <= data["height_mm"] <= high


def test_a_spring_by_its_wire_by_its_rate_and_by_a_test(capsys):
    """After Wahl, Mechanical Springs, restated: 0.1 in wire, 1 in coil, 10 turns: 14.375 lb/in."""
    wire = asked("spring wire=0.1in coil=1in turns=10 squeeze=20mm", capsys)
    rate = asked("spring rate='14.375 lb/in' squeeze=20mm", capsys)
    load = 14.375 * 0.45359237 * 20 / 25.4
    assert wire["load_kg"] == pytest.approx(load, rel=1e-4)
    assert rate["load_kg"] == pytest.approx(load)
    tested = asked(f"spring test_load={load}kg test_squeeze=20mm load=10kg springs=2", capsys)
    assert tested["rate_n_per_mm"] == pytest.approx(rate["rate_n_per_mm"])
    assert 2 * tested["rate_n_per_mm"] * tested["squeeze_mm"] == pytest.approx(98.0665)
    assert any("dangerous" in words for words in tested["cautions"])


def test_a_stiff_spring_slackens_as_the_curd_sinks(capsys):
    """Hooke's law: 10 mm of 20 lost is half the load."""
    data = asked("spring rate='2 N/mm' squeeze=20mm sinks=10mm mould=100mm", capsys)
    assert data["load_left_kg"] == pytest.approx(data["load_kg"] / 2)
    assert data["tighten_after_mm"] == pytest.approx(4)
    assert data["pressure_kpa"] == pytest.approx(40 / 78.54 * 10, rel=1e-4)
    assert any("50 %" in words for words in data["warnings"])
    assert "needs one of rate" in refusal("spring squeeze=20mm", capsys)
    assert "not both" in refusal("spring rate=2 squeeze=20mm load=3kg", capsys)
    assert "more than 0" in refusal("spring rate=0", capsys)


def test_what_a_cheese_costs(capsys):
    """Exact: 10 L at 1.2, 3 of other things, 4 h at 15; 1.2 kg of which a tenth is lost."""
    line = "cost milk=10L milk_price=1.2 other='1, 1.5, 0.5' hours=4 wage=15 cheese=1.2kg"
    data = asked(f"{line} loss_pct=10", capsys)
    assert data["cost"] == pytest.approx(75)
    assert data["cost_per_kg"] == pytest.approx(62.5)
    assert data["aged_cost_per_kg"] == pytest.approx(75 / 1.08)
    assert data["milk_share_pct"] == pytest.approx(16)
    assert "needs milk_price" in refusal("cost milk=10L", capsys)

"""Equal ages, salts for a hygrometer, eyes and late blowing by `vatside reckon`."""

from __future__ import annotations

import math

import pytest

from journal.records.tables import table
from tests.outside.test_reckon_trade import asked, refusal

# CRC Handbook of Chemistry and Physics, constant humidity solutions: RH = A exp(B / T), good to 2.
CRC = {
    "sodium chloride": (69.20, 25, 10, 40),
    "potassium chloride": (49.38, 159, 5, 25),
    "potassium sulphate": (86.75, 34, 10, 50),
    "magnesium chloride": (29.26, 34, 5, 45),
    "sodium bromide": (20.49, 308, 0, 35),
}


@pytest.mark.parametrize("temp", [10, 12, 15, 18, 20, 25])
@pytest.mark.parametrize("salt", CRC)
def test_a_salt_by_the_table_and_by_the_handbooks_fit(salt, temp, capsys):
    a, b, low, high = CRC[salt]
    assert low <= temp <= high
    found = asked(f"humidity-salts temp={temp}C salt='{salt}'", capsys)["rh_pct"]
    assert found == pytest.approx(a * math.exp(b / (temp + 273.15)), abs=2)


def test_the_misprint_of_the_page_is_left_out():
    """The page has sodium chloride at 75.7, 75.6, 75.7, 75.3 from 10 to 25 °C; CRC falls."""
    rows = table("humidity_salts")
    salt = [
        float(rh)
        for name, rh in zip(rows["salt"], rows["rh_pct"], strict=True)
        if name == "sodium chloride"
    ]
    assert salt == sorted(salt, reverse=True)
    assert any("misprinted as 75.7" in source for source in rows["source"])


def test_a_hygrometer_checked_over_one_salt_and_over_two(capsys):
    """Greenspan 1977, restated, at 20 °C: 75.5 % over sodium chloride, 85.1 over potassium's."""
    line = "humidity-salts temp=20C salt='sodium chloride' shown=79"
    one = asked(f"{line} reading=88", capsys)
    assert one["error_pct"] == pytest.approx(3.5)
    assert one["corrected_pct"] == pytest.approx(84.5)
    two = asked(f"{line} salt_2='potassium chloride' shown_2=90 reading=90", capsys)
    assert two["corrected_pct"] == pytest.approx(85.1)
    assert two["error_2_pct"] == pytest.approx(4.9)
    beyond = asked(f"{line} reading=95", capsys)
    assert any("beyond" in words for words in beyond["warnings"])
    nearest = asked("humidity-salts temp=12C want_pct=86", capsys)
    assert nearest["nearest"] == "potassium chloride"
    assert "needs salt" in refusal("humidity-salts temp=20C shown=79", capsys)
    assert "between 5 and 25 °C" in refusal("humidity-salts temp=40C", capsys)
    stuck = refusal(f"{line} salt_2='potassium chloride' shown_2=79", capsys)
    assert "does not follow" in stuck


def test_a_third_of_the_time_for_three_degrees(capsys):
    """J. Food Sci. 85, 268 (2020), abstract: 8 months at 10 °C liked as well as 12 at 7.2."""
    data = asked("ripening-days days='12 months' rooms=7.2C to_temp=10C", capsys)
    months = 365.25 / 12
    assert data["equal_days"] == pytest.approx(8 * months, rel=0.09)
    low, high = data["ranges"]["equal_days"]
    assert low <= 8 * months + 0.5
    assert high >= data["equal_days"]
    assert any("60 days" in words for words in data["cautions"])


def test_several_rooms_add_up(capsys):
    """Thom & Fisk 1918, par. 241: in proportion to the temperature."""
    data = asked("ripening-days days='14 d, 60 d' rooms='12, 8 C' to_temp=10C", capsys)
    assert data["degree_days"] == pytest.approx(14 * 12 + 60 * 8)
    assert data["equal_days"] == pytest.approx(64.8)
    assert any("late gas" in words for words in data["warnings"])
    warm = asked("ripening-days days=30d rooms=20C", capsys)
    assert any("trials" in words for words in warm["warnings"])
    assert "one room for each" in refusal("ripening-days days='14 d, 60 d' rooms=12C", capsys)


@pytest.mark.parametrize(
    ("line", "output"),
    [
        # A textbook of fermented foods, read on a page that restates it: below 5.0 or above 5.4.
        ("ph=4.9", "below 5.0"),
        ("ph=5.6", "above 5.4"),
        ("ph=5.2", "nothing given"),
        # The same: a warm room of 20 to 25 °C; T&F 1918, par. 271: 21 °C, then 16.
        ("temp=16C", "20 to 25 °C"),
        ("temp=21C", "nothing given"),
        ("temp=28C", "20 to 25 °C"),
        # T&F 1918, par. 275: salt 1 to 1.4 %.
        ("salt_pct=2", "1.4 %"),
        ("salt_pct=1.2", "nothing given"),
    ],
)
def test_what_speaks_against_eyes(line, output, capsys):
    assert output in asked(f"eyes {line}", capsys)["eyes"][0]


@pytest.mark.parametrize(
    ("line", "output"),
    [
        # Foods 12, 1880 (2023), abstract: 10^1.93 and 10^2.99 in a litre; under 200 proposed.
        ("spores=80", "sound in the cold season"),
        ("spores=150", "slits"),
        ("spores=500", "above the 200"),
        ("spores=1000", "every cheese blew"),
        # Int. J. Food Microbiol. 54, 147 (2000), abstract: none at 5 or 8 °C, some at 13.
        ("temp=5C", "none germinated"),
        ("temp=13C", "germinated at 13"),
        ("temp=10C", "between"),
        # The same: one of three strains germinated still at 3.6 % of salt in the water.
        ("salt_pct=1.8 moisture_pct=42", "most"),
        ("salt_pct=1 moisture_pct=42", "two of three"),
    ],
)
def test_what_is_known_of_late_blowing(line, output, capsys):
    data = asked(f"eyes {line}", capsys)
    assert any(output in words for words in data["late_blowing"])
    assert any("local law" in words for words in data["cautions"])


def test_butyric_gas_is_six_times_that_of_eyes(capsys):
    """3 lactic give 1 CO₂; 2 lactic give 2 CO₂ and 2 H₂; 22.414 L a mole at 0 °C."""
    data = asked("eyes lactic_pct=0.9008 temp=0C", capsys)
    assert data["co2_l"] == pytest.approx(22.414 / 30, rel=1e-4)
    assert data["butyric_l"] == pytest.approx(6 * data["co2_l"])
    assert "at least one" in refusal("eyes moisture_pct=40", capsys)

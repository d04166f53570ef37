"""Keys of `vatside reckon` as people type them."""

from __future__ import annotations

import json
import re
import shlex

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.command import main
from journal.command.reckon import read_given
from journal.topics import TopicError
from journal.topics.curve_file import read_curve
from journal.topics.registry import topic, topics
from journal.wording import text_of
from tests.refusals import refused


def kept(name: str, *words: str) -> dict:
    """The values given, in kept units."""
    return {key: one.kept for key, one in read_given(topic(name), words)[0].items()}


def notes(name: str, *words: str) -> list[str]:
    """What was taken for granted in reading."""
    return read_given(topic(name), words)[1]


def test_any_unit_of_its_kind():
    assert kept("press", "load=24 lb")["load"] == pytest.approx(10.886, abs=1e-3)
    assert kept("press", "pressure=14psi")["pressure"] == pytest.approx(96.53, abs=0.01)
    assert kept("ramp", "from=86 F")["from"] == pytest.approx(30)
    assert kept("yield", "milk=2,5 gal")["milk"] == pytest.approx(9.464, abs=1e-3)
    assert kept("loss", "weeks=20")["weeks"] == 20 * 7 * 24 * 60
    assert kept("loss", "weeks=3 months")["weeks"] == pytest.approx(3 * 30.4375 * 1440)


def test_kitchen_measures_say_what_they_were_taken_for():
    assert kept("calcium-chloride", "dose=1/2 tsp/gal")["dose"] == pytest.approx(0.660, abs=1e-3)
    assert "tsp is taken as 5 ml" in notes("calcium-chloride", "dose=1/2 tsp/gal")
    for typed, ml in (("2 drops", 0.1), ("1 pinch", 0.3125), ("1 tbsp", 15), ("1/2 cup", 125)):
        assert kept("acidity", f"sample_ml={typed}")["sample_ml"] == pytest.approx(ml)
        assert notes("acidity", f"sample_ml={typed}")


def test_a_density_with_its_power_written_in_any_way():
    for typed in ("1147.8 kg/m³", "1147.8 kg/m3", "1147.8 kg/m^3"):
        assert kept("brine", f"density={typed}")["density"] == pytest.approx(1.1478)


def test_a_bare_number_says_how_it_was_read():
    assert "milk is read in L" in notes("rennet", "milk=10")
    assert notes("rennet", "milk=10 L") == []
    assert "have is read in kg" in notes("standardise", "have=160")


@pytest.mark.parametrize(
    ("line", "output"),
    [
        ("press load=20 mould=165", "add kg, g or lb"),
        ("press pressure=14 mould=165", "add kPa or psi"),
        ("press load=20kg mould=6.5", "add mm, cm or in"),
        ("ramp from=86 to=102 minutes=30", "add °C or °F"),
        ("set flocculation=12 temp_from=88 temp_to=90F", "add °C or °F"),
        ("brine pct_w_w=20 temp=55", "add °C or °F"),
        ("air dry=55 wet=53", "add °C or °F"),
        ("air dry=13C wet=11C pressure=1013", "add kPa or psi"),
        ("density fat_pct=4 temp=68", "add °C or °F"),
        ("meter buffers=4.01,7.00 readings=177,0 temp=77", "add °C or °F"),
        ("loss weight=10 room=50 weeks=20", "add °C or °F"),
        ("loss weight=900 room=10 weeks=20", "add kg, g or lb"),
        ("composition milk=10L fat_pct=3.6 green_weight=1100", "add kg, g or lb"),
        ("composition milk=10L fat_pct=3.6 green_weight=1.1kg salt=20", "add kg, g or lb"),
        ("brine pct_w_w=20 brine=10L salt_taken=50", "add kg, g or lb"),
        ("salt curd=1200 target=2", "add kg, g or lb"),
        ("salt curd=1kg target=5", "like 2 % or 5 S/M"),
        ("acidity value=18", "16 °D"),
        ("rennet milk=10L dose=2.5", "IMCU/kg"),
        ("calcium-chloride milk=10L dose=2.5", "ml/L"),
        ("culture milk=10L dose=20", "g/L"),
        ("yield milk=10L actual=1.1", "1.1 kg"),
        ("set minutes=0:35", "write 35 min or 35 s"),
        ("ramp from=30 to=39 minutes=1:30", "1 h 30 min or 1 min 30 s"),
    ],
)
def test_a_bare_number_that_could_be_meant_otherwise_is_asked_about(line, output, capsys):
    assert main(["reckon", *line.split()]) == 2
    report = capsys.readouterr()
    assert report.out == ""
    assert output in report.err


def test_a_time_with_a_colon_says_how_it_was_read():
    assert kept("set", "flocculation=12:30")["flocculation"] == 12.5
    assert "flocculation 12:30 is read as 12 min 30 s" in notes("set", "flocculation=12:30")
    assert kept("brine", "hours=1:30")["hours"] == 90
    assert "hours 1:30 is read as 1 h 30 min" in notes("brine", "hours=1:30")


def test_words_after_a_value_belong_to_it():
    assert kept("ramp", "from=30", "C", "to=39", "C") == {"from": 30, "to": 39}
    assert kept("acidity", "18", "D")["value"] == pytest.approx(0.18)


def test_milk_by_volume_or_by_mass():
    given_ = read_given(topic("rennet"), ["milk=10.3 kg"])[0]["milk"]
    assert (given_.kept, given_.quantity) == (10.3, "mass")


def test_sizes():
    assert kept("press", "mould=150 x 200 mm")["mould"] == (150, 200)
    assert kept("press", "mould=15x20cm")["mould"] == pytest.approx((150, 200))
    assert kept("press", "mould=6.5 in")["mould"] == pytest.approx((165.1,))


def test_several():
    for typed in ("4.01, 7.00", "4.01,7.00", "4,01; 7,00", "4.01;7", "pH 4.01, pH 7"):
        assert kept("meter", f"buffers={typed}")["buffers"] == pytest.approx((4.01, 7.0))
    assert kept("meter", "readings=-3 mV, 174.5 mV")["readings"] == (-3, 174.5)


def test_marks_behind_a_number():
    assert read_given(topic("salt"), ["target=5 S/M"])[0]["target"].tag == "s/m"
    assert read_given(topic("salt"), ["target=5 % s/m"])[0]["target"].tag == "s/m"
    assert kept("rennet", "strength=200 IMCU/ml")["strength"] == 200
    assert kept("brine", "baume=18 °Bé")["baume"] == 18


@pytest.mark.parametrize(
    ("words", "output"),
    [
        (["press", "load"], "has no key"),
        (["press", "load="], "has no value"),
        (["press", "load=1", "load=2"], "given twice"),
        (["press", "load=five"], "“load”: "),
        (["press", "load=3 L"], "“load”: "),
        (["rennet", "milk=1,234 L"], "1.234 L or 1234 L"),
        (["rennet", "milk=1,234 kg"], "1.234 kg or 1234 kg"),
        (["rennet", "milk=1,234"], "1.234 or 1234"),
        (["press", "loda=3"], "Did you mean load"),
        (["press", "load=11kg"], "needs mould"),
        (["press", "load=11kg", "mould=0"], "must be more than 0"),
        (["press", "mould=165", "shape=oval"], "one of round, square"),
        (["presss"], "Did you mean press"),
        (["pasteurise", "curve=nowhere.csv"], "there is no file"),
        (["brine", "pct_w_w=30"], "saturated"),
        (["brine", "pct_w_w=20", "baume=18"], "as one of"),
        (["brine", "pct_w_w=20", "hours=5", "cheese=stone"], "No diffusion"),
        (["yield", "milk=10L"], "needs fat_pct"),
        (["mould", "milk=10L", "mould=165", "wheels=1.5"], "whole"),
        (["air", "dry=10", "wet=11"], "swap"),
    ],
)
def test_what_will_not_do_is_said_in_one_sentence(words, output, capsys):
    assert main(["reckon", *words]) == 2
    report = capsys.readouterr()
    assert report.out == ""
    assert output in report.err
    assert report.err.count("\n") == 1


def test_without_a_topic_the_topics_and_with_one_its_keys(capsys):
    assert main(["reckon"]) == 0
    assert "water-activity" in capsys.readouterr().out
    assert main(["reckon", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)["topics"]
    assert [one["topic"] for one in listed] == list(topics())
    assert main(["reckon", "brine"]) == 0
    assert "salometer_deg" in capsys.readouterr().out
    assert main(["reckon", "brine", "--json"]) == 0
    assert "temp" in [key["key"] for key in json.loads(capsys.readouterr().out)["keys"]]


def test_json_may_stand_anywhere(capsys):
    for words in (["--json", "brine", "pct_w_w=20"], ["brine", "--json", "pct_w_w=20"]):
        assert main(["reckon", *words]) == 0
        assert json.loads(capsys.readouterr().out)["g_per_kg_water"] == pytest.approx(250)


def refusal(name: str, word: str) -> str | None:
    """The sentence a word was refused with; None when it was read."""
    try:
        read_given(topic(name), [word])
    except ValueError as error:
        return text_of(error)
    return None


@given(st.text(max_size=40))
def test_nothing_typed_breaks_it(text):
    """Whatever stands behind a key is read, or refused in a sentence."""
    for name, key in (("press", "load"), ("press", "mould"), ("meter", "buffers"),
                      ("salt", "target"), ("acidity", "value"), ("brine", "cheese")):  # fmt: skip
        assert refusal(name, f"{key}={text}") != ""


def test_a_curve_as_loggers_and_people_write_it(tmp_path):
    def curve(text: str) -> tuple[list[float], list[float]]:
        file = tmp_path / "curve.csv"
        file.write_text(text, encoding="utf-8")
        return read_curve(str(file))

    assert curve("minutes,degC\n0,20\n1,21.5\n") == ([0, 1], [20, 21.5])
    assert curve("0;20,5\n\n1;21\n") == ([0, 1], [20.5, 21])
    assert curve("t\tdegF\n0\t212\n1\t32\n")[1] == pytest.approx([100, 0])
    with refused(TopicError, "topics.curve-row-unread", number=3):
        curve("minutes,degC\n0,20\n1\n")
    with refused(TopicError, "topics.curve-row-unread", number=2):
        curve("0,20\nnan,3\n")


@pytest.mark.parametrize(
    ("line", "output"),
    [
        ("water-activity salt_pct=40 moisture_pct=70", "more than the whole cheese"),
        ("water-activity salt_pct=40 moisture_pct=70 ph=5", "more than the whole cheese"),
        ("composition moisture_pct=36.7 fat_pct=33.1 salt_pct=40", "check all three"),
        ("composition milk=10.3kg fat_pct=4 casein_pct=2.5 green_weight=1.2kg salt=0.7kg "
         "salt_kept_pct=100",
         "check all three"),
        ("loss weight=0.3kg room=30C weeks=100", "cannot be calculated"),
    ],
)  # fmt: skip
def test_what_no_cheese_can_be_is_refused(line, output, capsys):
    assert main(["reckon", *line.split()]) == 2
    report = capsys.readouterr()
    assert report.out == ""
    assert output in report.err


@pytest.mark.parametrize(
    "line",
    [
        "water-activity salt_pct=20 moisture_pct=45",
        "composition moisture_pct=36.7 fat_pct=33.1 salt_pct=20",
        "salt curd=1kg target=20 moisture_pct=40",
    ],
)
def test_more_salt_than_the_water_dissolves_is_warned_of(line, capsys):
    """A brine is saturated at 26.4 % of the solution (salt handbook)."""
    assert main(["reckon", *line.split(), "--json"]) == 0
    assert any("26.4 %" in output for output in json.loads(capsys.readouterr().out)["warnings"])


def answered(line: str, capsys) -> dict:
    """The JSON answer to a line of TOPIC KEY=VALUE."""
    assert main(["reckon", *shlex.split(line), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize(
    ("spoon", "weighed", "key"),
    [
        ("brine pct_w_w=20 brine=10L salt_taken='1 tbsp'",
         "brine pct_w_w=20 brine=10L salt_taken=18g", "top_up_salt_kg"),
        ("composition milk=10L fat_pct=3.6 casein_pct=2.6 green_weight=1.1kg salt='1 tsp'",
         "composition milk=10L fat_pct=3.6 casein_pct=2.6 green_weight=1.1kg salt=6g", "s_m_pct"),
    ],
)  # fmt: skip
def test_a_spoon_of_salt_is_read_at_1_2_grams_a_ml(spoon, weighed, key, capsys):
    """Fine salt of 1.2 g/ml: common practice, no source."""
    by_spoon, by_weight = answered(spoon, capsys), answered(weighed, capsys)
    assert by_spoon[key] == pytest.approx(by_weight[key])
    assert any("1.2 g/ml" in output for output in by_spoon["assumed"])
    assert not any("1.2 g/ml" in output for output in by_weight["assumed"])


@pytest.mark.parametrize(
    ("whole", "each", "key", "amount"),
    [
        ("rennet dose='1/2 tsp'", "rennet dose='0.25 ml/L'", "ml", 2.5),
        ("rennet dose='1/2 tsp'", "rennet dose='1/20 tsp/L'", "ml", 2.5),
        ("rennet dose=0.2g", "rennet dose='0.02 g/L'", "g", 0.2),
        ("culture dose='1/4 tsp'", "culture dose='0.125 ml/L'", "ml", 1.25),
        ("culture dose=2g", "culture dose='0.2 g/L'", "g", 2),
        ("calcium-chloride dose='1/2 tsp'", "calcium-chloride dose='0.25 ml/L'", "ml", 2.5),
        ("calcium-chloride dose=1.5g", "calcium-chloride dose='0.15 g/L'", "g", 1.5),
        ("colour dose='1 drop'", "colour dose='0.005 ml/L'", "ml", 0.05),
    ],
)
def test_a_dose_for_all_the_milk_is_one_for_a_litre(whole, each, key, amount, capsys):
    by_whole, by_litre = (answered(f"{line} milk=10L", capsys) for line in (whole, each))
    assert by_whole[key] == pytest.approx(by_litre[key]) == pytest.approx(amount)
    assert any("for all the milk" in output for output in by_whole["assumed"])


def test_a_bare_dose_is_still_what_it_was(capsys):
    assert answered("rennet milk=10L dose=40", capsys)["imcu_per_kg"] == pytest.approx(40)
    assert answered("culture milk=10kg dose=2", capsys)["g"] == pytest.approx(200)
    assert answered("calcium-chloride milk=10L dose=0.2", capsys)["ml"] == pytest.approx(2)


@pytest.mark.parametrize("name", ["rennet", "culture", "calcium-chloride", "colour"])
def test_a_refused_dose_names_every_form(name, capsys):
    assert main(["reckon", name, "milk=10L", "dose=3 cm"]) == 2
    output = capsys.readouterr().err
    forms = ["for all the milk", r" ml/L\b", "tsp" if name != "colour" else "drop"]
    forms += [] if name == "colour" else [r" g/L\b", r" g\b"]
    forms += ["IMCU/kg"] if name == "rennet" else []
    assert [form for form in forms if not re.search(form, output)] == []
    assert main(["reckon", "rennet", "milk=10L", "dose=0 ml"]) == 2
    assert "more than 0" in capsys.readouterr().err


SHOWN = [(name, key.name, key.example) for name, one in topics().items() for key in one.keys]


@pytest.mark.parametrize(("name", "key", "example"), [row for row in SHOWN if row[2]])
def test_an_example_is_read_as_it_is_shown(name, key, example):
    for typed in example.split(" or "):
        assert list(kept(name, f"{key}={typed}")) == [key]


def test_the_help_shows_a_likely_value(capsys):
    for name, shown in (("loss", "20 weeks"), ("composition", "38 %"), ("press", "20 kg"),
                        ("air", "300 m")):  # fmt: skip
        assert main(["reckon", name]) == 0
        assert shown in capsys.readouterr().out


def test_a_range_is_told_from_its_low_to_its_high_end(capsys):
    assert main(["reckon", "loss", "weight=20kg", "room=10C", "weeks=20"]) == 0
    output = capsys.readouterr().out
    ends = answered("loss weight=20kg room=10C weeks=20", capsys)["ranges"]["loss_pct"]
    low, high = (f"{end:.4f}".rstrip("0") if end < 10 else f"{end:.2f}" for end in ends)
    assert f"loss: {low} % to {high} %" in output
    line = "brining-time target=2 moisture_pct=43 diameter=200 height=90 pct_w_w=20 cheese=gouda"
    assert main(["reckon", *line.split()]) == 0
    output = capsys.readouterr().out
    assert "published time: 24 h to 72 h" in output
    assert "brining:" not in output  # one diffusion gives no range


@pytest.mark.parametrize(
    ("line", "answer", "value"),
    [
        ("ripening-days days=14d,60d rooms=12C,8C to_temp=10", "degree_days", 648),
        ("ripening-days days='14 d,60 d' rooms=12,8C to_temp=10C", None, None),
        ("culture-units milk=10l dose=5u/100L packet_units=50u", "activity_units", 0.5),
        ("culture-units milk=10l dose=5/100l packet_units=50", "activity_units", 0.5),
    ],
)
def test_values_typed_without_spaces(line, answer, value, capsys):
    """Each with its unit, parted by a comma; a comma between bare digits is a decimal mark."""
    if answer is None:
        assert main(["reckon", *shlex.split(line)]) == 2
        return
    assert answered(line, capsys)[answer] == pytest.approx(value)


def test_a_measure_is_named_in_the_singular(capsys):
    for line, output in (
        ("colour dose=2drops milk=10L", "drop is taken as about 0.05 ml"),
        ("rennet milk=3gal", "gal is taken as a US gallon, 3.785 L"),
        ("press load=20lb mould=165mm", "lb is taken as 453.6 g"),
        ("loss weight=10kg room=10 weeks='2 months'", "month is taken as 30.44 days"),
    ):
        assert output in answered(line, capsys)["assumed"]
    assert "an acidity" in (refusal("acidity", "value=-3 D") or "")
    assert "for a volume" in (refusal("rennet", "milk=-3 L") or "")

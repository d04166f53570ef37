"""The register of topics: declared whole, refused in words, nothing read or typed."""

from __future__ import annotations

import itertools
import json
import math
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.quantities.units import quantities, unit_named
from journal.reckoning import ReckoningError
from journal.records import RecordError
from journal.records.tables import table
from journal.topics import TopicError
from journal.topics.answer import SumAnswer, unit_of
from journal.topics.asked import InputValue
from journal.topics.registry import key, reckon, topic, topics
from journal.topics.topic import CURVE, SEVERAL
from journal.topics.typed import example_of, read_value
from journal.topics.written import answer_lines, key_title, topic_title
from journal.wording import Style, text_of, written_in
from journal.wording.sentences import catalogue
from tests.refusals import refused

KEYS = [(one.name, each) for one in topics().values() for each in one.keys]


@pytest.mark.parametrize(("name", "declared"), KEYS, ids=[f"{n} {k.name}" for n, k in KEYS])
def test_a_key_names_quantities_that_exist_and_says_what_it_is(name, declared):
    assert declared.words
    assert set(declared.quantities) <= set(quantities())
    if declared.default_unit:
        assert unit_named(declared.quantities[0], declared.default_unit)


@pytest.mark.parametrize("name", sorted(topics()))
def test_a_topic_has_no_key_twice_and_tables_that_exist(name):
    one = topic(name)
    names = [word for each in one.keys for word in (each.name, *each.also)]
    assert len(names) == len(set(names))
    for listed in one.tables:
        assert "source" in table(listed)


@pytest.fixture(scope="module")
def marked(tmp_path_factory):
    """A language whose every sentence is the English one between marks."""
    folder = tmp_path_factory.mktemp("home") / "vatside" / "languages"
    folder.mkdir(parents=True)
    said = {id_: text for room in ("topics", "reckoning") for id_, text in catalogue(room).items()
            if isinstance(text, str)}  # fmt: skip
    lines = [f"{json.dumps(id_)} = {json.dumps(f'«{text}»')}" for id_, text in said.items()]
    (folder / "qk.toml").write_text("\n".join(["[messages]", *lines]), encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(folder.parents[1]))
        yield Style(language="qk")


# Their examples are each right and no sum together: a spring shorter than it is, a brine twice.
NOT_BY_EXAMPLES = {"spring", "brine"}


@pytest.mark.parametrize("name", sorted(topics()))
def test_a_language_file_reaches_what_a_sum_says_of_itself_and_beside_its_numbers(name, marked):
    one, given = topic(name), {}
    for each in (asked for asked in one.keys if asked.kind != CURVE):  # a file
        example = each.choices[0] if each.choices else example_of(each).split(" or ")[0]
        if each.kind == SEVERAL:
            example = "4.01, 7.00"
        with suppress(ValueError):  # of two examples in one text
            given[each.name] = read_value(one, each, example).value
    tables = {each: table(each) for each in one.tables}
    with written_in(marked):
        said = [one.summary, one.stage, topic_title(one)]
        said += [text for each in one.keys for text in (each.words, key_title(one, each))]
        some = [set(left) for n in (0, 1, 2) for left in itertools.combinations(given, n)]
        reckoned = 0
        for without in some:
            try:
                found = reckon(name, {k: v for k, v in given.items() if k not in without}, tables)
            except (TopicError, ReckoningError) as error:
                said.append(text_of(error))
                continue
            reckoned += 1
            said += [found.formula, *found.assumed, *found.warnings, *found.cautions]
            said += [line.title for line in answer_lines(one, found)]
    assert reckoned or name in NOT_BY_EXAMPLES
    assert not [text for text in said if not text.startswith("«")]


@pytest.mark.parametrize("name", sorted(topics()))
def test_a_topic_asked_nothing_refuses_or_says_what_it_assumed(name):
    tables = {one: table(one) for one in topic(name).tables}
    with pytest.raises(TopicError) as caught:
        reckon(name, {}, tables)
    assert text_of(caught.value).startswith(f"“{name}” needs ")


def test_a_name_off_by_a_letter_is_guessed():
    with refused(TopicError, "topics.no-topic", name="pres") as caught:
        topic("pres")
    assert text_of(caught.value).endswith("Did you mean press?")
    with refused(TopicError, "topics.no-topic", name="zzzz") as caught:
        topic("zzzz")
    assert " There are: density, " in text_of(caught.value)
    with refused(TopicError, "topics.no-key", topic="yield") as caught:
        key(topic("yield"), "moistur_pct")
    assert text_of(caught.value).endswith("Did you mean moisture_pct?")
    assert topic("Water Activity").name == "water-activity"
    assert key(topic("rennet"), "imcu_per_ml").name == "strength"


def test_a_topic_without_its_table_says_so():
    with refused(TopicError, "topics.needs-the-table", topic="brine"):
        reckon("brine", {"pct_w_w": InputValue(20.0, "percent")})


def test_units_stand_in_the_names():
    assert unit_of("cheese_kg") == "kg"
    assert unit_of("density_kg_per_l") == "kg/L"
    assert unit_of("c_per_min") == "°C/min"
    assert unit_of("slope_mv_per_ph") == "mV/pH"
    assert unit_of("verdict") is None
    assert SumAnswer({"aw": 0.96, "by": "x"}, "", "").units == {"aw": ""}


def test_litres_and_kilograms_of_milk_are_told_apart():
    by_volume = reckon("rennet", {"milk": InputValue(10.0, "volume")})
    by_mass = reckon("rennet", {"milk": InputValue(10.0, "mass")})
    assert by_volume.values["ml"] == pytest.approx(1.030 * by_mass.values["ml"])
    assert any("1.030 kg/L" in words for words in by_volume.assumed)
    assert not any("kg/L" in words for words in by_mass.assumed)
    denser = {"milk": InputValue(10.0, "volume"), "density": InputValue(1.033, "density")}
    assert reckon("rennet", denser).values["ml"] == pytest.approx(2.066)


def test_the_make_up_follows_a_later_weighing():
    given = {
        "milk": InputValue(10.3, "mass"),
        "fat_pct": InputValue(3.6, "percent"),
        "casein_pct": InputValue(2.5, "percent"),
        "green_weight": InputValue(1.05, "mass"),
        "salt": InputValue(0.02, "mass"),
    }
    tables = {"standards_of_identity": table("standards_of_identity")}
    green = reckon("composition", given, tables).values
    later = reckon("composition", given | {"weight_now": InputValue(0.98, "mass")}, tables).values
    assert later["moisture_pct"] < green["moisture_pct"]
    assert later["s_m_pct"] > green["s_m_pct"]
    assert later["fdm_pct"] == pytest.approx(green["fdm_pct"])
    assert later["loss_pct"] == pytest.approx(100 * 0.07 / 1.05)


def test_a_table_that_is_not_there_is_refused():
    with refused(RecordError, "records.own-file-missing", path="tables/no_such_table.csv"):
        table("no_such_table")


NUMBERS = [0.0, 1e-6, 0.3, 1.0, 5.2, 10.0, 37.0, 65.0, 100.0, 1e3, 1e5]


@st.composite
def question(draw, name):
    """Some of a topic's keys with values of the right kind, possible or not."""
    found = {}
    for one in topic(name).keys:
        if not draw(st.integers(0, 3)):
            continue
        if one.kind == "word":
            choices = one.choices or ("gouda", "stone")
            found[one.name] = InputValue(draw(st.sampled_from(choices)), "word")
        elif one.kind in ("several", "size", "curve"):
            values = draw(st.lists(st.sampled_from(NUMBERS), max_size=4))
            found[one.name] = InputValue(tuple(values), one.quantities[0])
        else:
            tag = draw(st.sampled_from(("", *one.tags)))
            quantity = draw(st.sampled_from(one.quantities))
            found[one.name] = InputValue(draw(st.sampled_from(NUMBERS)), quantity, tag)
    return found


def outcome(name: str, asked: dict[str, InputValue]) -> SumAnswer | str:
    """The answer, or the sentence of a refusal; any other fault passes through."""
    try:
        return reckon(name, asked, {one: table(one) for one in topic(name).tables})
    except (TopicError, ReckoningError) as error:
        return text_of(error)


@pytest.mark.parametrize("name", sorted(topics()))
@settings(max_examples=60)
@given(data=st.data())
def test_whatever_is_asked_is_answered_in_numbers_or_refused_in_a_sentence(name, data):
    found = outcome(name, data.draw(question(name)))
    if isinstance(found, str):
        assert found.endswith(".")
    else:
        for key_, value in found.values.items():
            if isinstance(value, float):
                assert math.isfinite(value), key_


def test_a_brine_after_use():
    tables = {one: table(one) for one in ("brine_density", "salt_diffusion")}
    asked = {
        "pct_w_w": InputValue(20.0, "percent"),
        "brine": InputValue(10.0, "mass"),
        "salt_taken": InputValue(0.05, "mass"),
        "whey_given": InputValue(0.15, "mass"),
    }
    found = reckon("brine", asked, tables).values
    assert found["used_brine_pct"] == pytest.approx(100 * 1.95 / 10.1)
    assert found["top_up_salt_kg"] == pytest.approx((0.2 * 10.1 - 1.95) / 0.8)

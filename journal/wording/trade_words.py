"""The words of the trade's tables: a cause, its source, the name of a variable, what to ask."""

from __future__ import annotations

from functools import cache

from journal.findings.readers import AGE, MAKE_VARIABLES, WHEEL_VARIABLES
from journal.records.tables import table
from journal.wording.letters import capital

NAMES = {
    **{one.variable.key: one.variable.name for one in MAKE_VARIABLES},
    **{variable.key: variable.name for variable, _ in WHEEL_VARIABLES},
    AGE.key: AGE.name,
    "press_load": "press pressure",
    "moisture": "moisture",
    "mnfs": "moisture in non-fat substance",
    "fat_in_dry_matter": "fat in dry matter",
    "salt_in_moisture": "salt in moisture",
    "ph_day_1": "pH after a day",
    "ph_day_3": "pH after three days",
    "ph_ripe": "pH when ripe",
    "milk_acidity_at_start": "acidity of the milk",
    "set_temperature": "milk temperature at the set",
    "salting_delay": "wait from milling to salt",
    "wheel_size": "weight of the wheel",
    "mould_dose": "mould dose",
    "piercing_day": "age at piercing",
    "wrap_day": "age at waxing or wrapping",
    "turning": "turns in the first weeks",
    "culture_kind": "culture lot",
    "milk_source": "milk source",
    "treatment_pasteurised": "heat treatment",
}
"""What a variable is called, by the trade's key or that of its reading."""

QUESTIONS = {
    "adjunct_culture": "Was another culture added beside the starter, and which?",
    "age_at_tasting": "How old was it when it was tasted?",
    "bandage_fit": "Did the bandage lie smooth and tight?",
    "brine_ph": "What was the brine's pH?",
    "brine_strength": "How strong was the brine?",
    "brine_temperature": "How warm was the brine?",
    "coagulant_kind": "Which rennet was it: calf, microbial, another?",
    "colour_added": "How much colour went in, and when?",
    "cooling_rate": "How soon after the press was it cool?",
    "curd_crumbs": "Did crumbs lie dry on top of the matting curd?",
    "curd_temperature_at_press": "How warm was the curd when it went into the press?",
    "drain_room_temperature": "How warm was the room it drained in?",
    "gel_firmness_at_cut": "Was it cut soft, at a clean break, or firm?",
    "geotrichum_growth": "Did a wrinkled white growth come early?",
    "hoop_filling": "How was the mould filled: in small lots, pressed down by hand?",
    "late_gas": "Did gas come only after weeks of ageing?",
    "light": "Did it stand in the light?",
    "milk_age": "How old was the milk when it went into the vat?",
    "milk_cell_count": "Is a cell count of the milk known?",
    "milk_feed": "What did the animals eat before milking?",
    "milk_handling": "Was the milk pumped, foamed, or warmed and cooled again?",
    "milk_hygiene": "Were milk, hands and vat clean, and was the milk tested?",
    "milk_spores": "Does the milk come from animals fed on silage?",
    "milk_storage": "How soon was the milk cold, and how was it kept?",
    "milk_temperature_at_fill": "How warm was the milk when it went into the vat?",
    "mixing_of_curds": "Was curd of two vats or layers put together?",
    "moisture_evenness": "Were the pieces of curd of one size and evenly dry?",
    "mucor_growth": "Did a grey, hairy mould grow on it?",
    "pasteurisation_heat": "How hot was the milk heated, and for how long?",
    "press_rate": "How fast was the weight put on?",
    "press_sequence": "In which steps was it pressed, and was the press level?",
    "rind_care": "Was the rind brushed, and were cracks closed?",
    "room_air_change": "Is the air of the room changed?",
    "room_hygiene": "Were shelves and hands clean?",
    "salting_evenness": "Was the salt spread evenly, in several lots?",
    "salting_method": "Was it salted dry or in brine, and for how long?",
    "season": "In which season was the milk given?",
    "surface_flora": "Which moulds or bacteria grew on the rind?",
    "utensil_hygiene": "Were all tools scrubbed, scalded and dry?",
    "utensil_metal": "Did milk or curd touch copper, rust or worn plating?",
    "water_quality": "Was the water drinkable, and its hot pipes clean?",
    "wax_temperature": "How hot was the wax, and was the wheel dry?",
    "whey_drainage_while_matting": "Could the whey run off while the curd lay?",
    "wrap_tightness": "Was it wrapped tight on a smooth face?",
}
"""What to ask about a variable that no record says."""

TO_MEASURE = {
    "age_at_tasting": "Score a wheel of it, so that its age is known.",
    "milk_acidity_at_start": "Titrate the milk before the culture goes in.",
    "moisture": "Write down the milk's fat and the weight of each wheel.",
    "mnfs": "Write down the milk's fat and the weight of each wheel.",
    "fat_in_dry_matter": "Write down the milk's fat and the weight of each wheel.",
    "salt_in_moisture": "Weigh the salt, and each wheel out of the press.",
    "ph_at_drain": "Read the curd's pH when draining begins.",
    "ph_at_milling": "Read the curd's pH when milling begins.",
    "ph_day_1": "Read the curd's pH after a day.",
    "ph_day_3": "Read the curd's pH after three days.",
    "ph_ripe": "Read the pH when a wheel is cut.",
    "room_humidity": "Read the air of the room it ages in.",
    "room_temperature": "Read the air of the room it ages in.",
    "turning": "Write down when it is turned.",
}
"""What to do so that a variable is known next time; others are written down under their name."""


def name_words(key: str) -> str:
    """What a variable is called; of one that is only asked about, its key as words."""
    return NAMES.get(key, key.replace("_", " "))


def question(key: str) -> str:
    """What is asked for where a variable is not known: of one that is read here, how to."""
    if key in QUESTIONS and key not in TO_MEASURE:
        return QUESTIONS[key]
    return TO_MEASURE.get(key, f"Write down the {name_words(key)}.")


def cause_words(row: str) -> str:
    """A cause in the words of its table."""
    return _cells("causes", "id", "cause").get(row, "")


def remedy_words(row: str) -> str:
    """What its table says to do about a cause, "" where it says nothing."""
    return _cells("causes", "id", "remedy").get(row, "")


def threshold_words(row: str) -> str:
    """The figure its table gives with a cause, "" without one."""
    return _cells("causes", "id", "threshold").get(row, "")


def effect_words(row: str) -> str:
    """A published effect: what was changed, and what came of it."""
    change = _cells("effects", "id", "change").get(row, "")
    return f"{change}: {_cells('effects', 'id', 'size').get(row, '')}"


def source_words(key: str) -> str:
    """A source and where it was read."""
    read = _cells("trade_sources", "key", "read").get(key, "")
    source = _cells("trade_sources", "key", "source")[key]
    return f"{source} – {read}." if read else f"{capital(source)}."


def grade_words(row: str) -> str:
    """Whose figure of composition it is: "export specification, Australia"."""
    status = _cells("grading", "id", "status").get(row, "")
    return f"{status}, {_cells('grading', 'id', 'country').get(row, '')}"


def disagreement_words(one: str) -> tuple[str, str]:
    """The title and the text of a disagreement."""
    found = _cells("disagreements", "id", "title"), _cells("disagreements", "id", "text")
    return found[0][one], found[1][one]


@cache
def _cells(name: str, key: str, column: str) -> dict[str, str]:
    found = table(name)
    return dict(zip(found[key], found[column], strict=True))

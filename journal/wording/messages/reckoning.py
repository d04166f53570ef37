"""The sentences of `reckoning`."""

from __future__ import annotations

from journal.wording.messages.sum_inputs import INPUTS
from journal.wording.sentences import Messages, Values, text_of


def _not_above(values: Values) -> str:
    low, found = _figure(values, "low"), _figure(values, "found")
    return f"The {text_of(values['what'])} must be more than {low}, not {found}."


def _not_at_least(values: Values) -> str:
    low, found = _figure(values, "low"), _figure(values, "found")
    return f"The {text_of(values['what'])} must be {low} or more, not {found}."


def _not_within(values: Values) -> str:
    what, low = text_of(values["what"]), values["low"]
    high, found = _figure(values, "high"), _figure(values, "found")
    return f"The {what} must lie between {low:g} and {high}, not at {found}."


def _figure(values: Values, name: str) -> str:
    """A number with the unit of its message, which may have none."""
    value = values[name]
    return "nothing" if value is None else f"{value:g} {values['unit']}".rstrip()


MESSAGES: Messages = {
    **INPUTS,
    "reckoning.acid-failed": (
        "failed: the acid is behind the limit; the caution says what that means"
    ),
    "reckoning.acid-good": "good: the acid has come as far as a sound cheese's",
    "reckoning.acid-limit-not-due": (
        "The first published limit comes later than that hour: read again then."
    ),
    "reckoning.acid-read-late": (
        "The limit stood at {hours:g} h: a reading so much later does not say whether it was "
        "met in time."
    ),
    "reckoning.acid-slow": (
        "slow: less acid than usual, more than where harm was found; watch it, and do not hurry"
        " it on"
    ),
    "reckoning.acidity-beyond-milk": (
        "That is more acid than the milk, whey or curd of a make has; check the unit."
    ),
    "reckoning.activity-of-dry-cheese": (
        "Outside its range: the formula by salt alone is valid above about 40 % "
        "moisture, and gives too high a value for drier cheese."
    ),
    "reckoning.activity-of-ripe-cheese": (
        "The formula is for unripe cheese; for a cheese ripened to this pH it may be wrong."
    ),
    "reckoning.added-is-wanted": (
        "What is added is exactly at the wanted value: no amount of it brings the milk all the way."
    ),
    "reckoning.air-boils": ("Water would boil at that pressure; check temperature and pressure."),
    "reckoning.air-too-dry": ("Air cannot be so dry: wet the wick and read the wet bulb again."),
    "reckoning.brine-calcium-unusual": (
        "A new brine is published with 0.1 % of calcium chloride (University of Guelph), on a "
        "dealer's label up to 0.5 %."
    ),
    "reckoning.brine-density-unchecked": "The density was checked from 10 to 30 °C.",
    "reckoning.brine-not-weakened": (
        "Salt cannot weaken a brine: add water, or ask for a stronger brine."
    ),
    "reckoning.brine-ph-unusual": (
        "A new brine is published at pH 5.2 to 5.6 (University of Guelph): give it the pH of "
        "the cheese; brined white cheese is sourer."
    ),
    "reckoning.brine-to-keep-in": (
        "This is a brine to keep white cheese in once it is salted (7 % advised, 6.5 "
        "to 9.5 % tried: Pappas et al. 1996, McMahon et al. 2009). It is too weak to "
        "salt a cheese in: that takes 16 to 25 % (University of Guelph)."
    ),
    "reckoning.brine-unusual": (
        "Cheese is brined at 16 to 25 % (University of Guelph): a weaker brine makes "
        "a slimy rind, a stronger one leaves salt undissolved."
    ),
    "reckoning.brining-unlike-published": (
        "Diffusion does not give what is published: wheels of such a weight lie {low_h:g} to "
        "{high_h:g} h in the brine. Begin with the published time."
    ),
    "reckoning.buffers-close": ("Buffers less than 2 pH apart say little about the slope."),
    "reckoning.buffers-cold-or-warm": (
        "Buffers are labelled for room temperature; bring them to 15 to 40 °C."
    ),
    "reckoning.buffers-one-side": (
        "Use buffers on either side of curd and milk, such as 4.01 and 7.00."
    ),
    "reckoning.calcium-above-legal": "More than the legal 0.02 % of the milk as anhydrous "
    "calcium chloride (21 CFR 133; Codex 278: 200 mg/kg).",
    "reckoning.cheese-below-milk-solids": "The cheese weighs less than the solids its milk "
    "should leave; check the milk, its fat and the green weight.",
    "reckoning.cheese-below-solids-and-salt": "The solids of the milk and the salt together "
    "weigh more than the cheese; check all three.",
    "reckoning.cheese-is-whey": "A cheese of 100 % moisture is whey.",
    "reckoning.cheese-nearly-water": "{green_kg:g} kg of cheese from {milk_kg:.4g} kg of milk "
    "would be nearly all water; check the weight and the milk.",
    "reckoning.cheese-of-fat": "A cheese of fat alone has no other substance; check the fat.",
    "reckoning.cheese-of-water": "A cheese of water alone has no dry matter; check the moisture.",
    "reckoning.colour-unusual": "The published dose is 1 to 2 ml of annatto for 1000 kg of milk "
    "(gouda in winter); an orange cheese takes more: follow the maker's sheet.",
    "reckoning.culture-unusual": "Published doses of bulk starter lie about 0.5 to 3 % of the "
    "milk.",
    "reckoning.curve-beyond-milk": (
        "The curve goes beyond what milk can be; check that it is in °C."
    ),
    "reckoning.curve-no-number": "The curve has a reading that is not a number.",
    "reckoning.curve-runs-backwards": "The minutes of the curve must not run backwards.",
    "reckoning.curve-short": "A curve needs at least two readings, each of minutes and °C.",
    "reckoning.damp-air": (
        "Above 90 % the bulbs differ by less than a degree: a small error of a "
        "thermometer is a large error of humidity."
    ),
    "reckoning.density-of-cream": "The formula is for milk up to about 6 % fat; for cream it "
    "gives too much.",
    "reckoning.density-of-warm-milk": (
        "The formula is valid from 4 to 20 °C; warmer milk is lighter than it says "
        "(0.005 kg/L at 39 °C)."
    ),
    "reckoning.density-snf-unchecked": "The formula was checked for 8 to 10.5 % solids-not-fat.",
    "reckoning.dew-point-too-low": "Air so dry has a dew point below −50 °C.",
    "reckoning.electrode-good": "good",
    "reckoning.electrode-serviceable": "serviceable: clean it and calibrate again with fresh "
    "buffers",
    "reckoning.electrode-to-replace": "replace: clean it and try fresh buffers, and replace it "
    "if that does not help",
    "reckoning.electrode-wrong-way-round": "wrong way round: check which reading belongs to "
    "which buffer",
    "reckoning.eyes-too-cold": (
        "a warm room is at 20 to 25 °C; colder, eyes come slowly or not at all"
    ),
    "reckoning.eyes-too-salty": "more salt than the 1.4 % of a good swiss kind holds the eyes back",
    "reckoning.eyes-too-sour": "pH below 5.0 keeps propionic bacteria back",
    "reckoning.eyes-too-sweet": "pH above 5.4 ends in poor quality and dirty fermentations",
    "reckoning.eyes-too-warm": (
        "a warm room is at 20 to 25 °C; warmer, the cheese may split and spoil"
    ),
    "reckoning.fat-in-whey": (
        "The whey took {pct:.1f} % of the fat; published are 6 to 9.6 % (Thom & Fisk 1918): cut"
        " a firmer curd, and more gently."
    ),
    "reckoning.first-slope-other-way": (
        "The first slope must go in the direction of the ramp, and be more than 0."
    ),
    "reckoning.first-slope-passes": (
        "At {c_per_min:g} °C a minute the first {minutes:g} min go past {to_c:g} °C; "
        "shorten the first slope or slow it."
    ),
    "reckoning.first-slope-too-long": "The first slope must end before the ramp does.",
    "reckoning.growth-of-nothing": "Give a temperature, a pH or a water activity.",
    "reckoning.hotter-than-open-pan": "Milk in an open pan never gets hotter than about 100 °C; "
    "check the unit. Only a plant under pressure heats it further.",
    "reckoning.humidity-unsure": (
        "With these thermometers the humidity is known only to ±{points:.0f}."
    ),
    "reckoning.hygrometer-beyond-check": (
        "The reading lies beyond what was checked: check over a salt of higher humidity too."
    ),
    "reckoning.hygrometer-far-off": (
        "The hygrometer is off by more than 10 points: check that the salt is a wet slush and "
        "the box closed, or replace it."
    ),
    "reckoning.hygrometer-stuck": (
        "The hygrometer does not follow: it must show clearly more over the salt with the "
        "higher humidity. Wait longer, or replace it."
    ),
    "reckoning.label-too-full": (
        "That label holds more than 100 ml can; check that it is for 100 ml."
    ),
    "reckoning.days-no-number": "A day is not a number.",
    "reckoning.layers-whole": "The number of layers must be whole, like 2.",
    "reckoning.load-above-rule": "That is {times:.0f} times the wheel's own weight; the old rule "
    "for gouda is 10 to 20 times.",
    "reckoning.log-reduction-stretched": (
        "The log reduction was measured from 52 to 74 °C; above that it is not reliable."
    ),
    "reckoning.loss-above-moisture": "A cheese cannot lose more weight than it holds water; "
    "check both.",
    "reckoning.loss-after-long": "The series ends after 20 weeks; a cheese loses less as it dries.",
    "reckoning.loss-beyond-water": (
        "This cannot be calculated: extended so far, the series would take more than "
        "the {most_pct:g} % of water that its cheddar holds. Ask for fewer weeks, or "
        "weigh your own."
    ),
    "reckoning.loss-dries-out": (
        "This cannot be calculated: extended so far, the formula would dry the "
        "cheese out. Ask for fewer weeks, or weigh your own."
    ),
    "reckoning.loss-in-other-room": "The series is of rooms from 4.4 to 15.6 °C; this is "
    "extrapolated.",
    "reckoning.loss-in-warm-room": "For cheeses below 10 kg the series ends at 10 °C; warmer is "
    "extrapolated.",
    "reckoning.loss-of-large-cheese": "The series ends at 32 kg; this is extrapolated.",
    "reckoning.loss-of-small-cheese": (
        "The series is of cheeses of 5.7 to 32 kg: below 5 kg only the range can be "
        "trusted. Weigh your own."
    ),
    "reckoning.loss-series-missing": "The series of weight losses is missing.",
    "reckoning.milk-gives-no-cheese": "Milk with so little fat and casein gives no cheese; check "
    "both.",
    "reckoning.milk-not-fresh": "Milk of 18 °D (0.18 %) or more is no longer fresh and may "
    "curdle on heating.",
    "reckoning.mix-alike": "These parts are too much alike to reach that by mixing them.",
    "reckoning.mix-out-of-reach": (
        "No mix of these parts holds that much fat and protein: the wish must lie between them."
    ),
    "reckoning.mix-wishes": (
        "{parts} labels meet one wish fewer: for two give want_fat_pct or want_protein_pct, for "
        "three both."
    ),
    "reckoning.moisture-and-fat-above-whole": "Moisture and fat together are more than the whole "
    "cheese; check both.",
    "reckoning.moisture-and-salt-above-whole": "Moisture and salt together must stay below 100 %.",
    "reckoning.more-salt-than-brine": "The cheese cannot take more salt than the brine holds.",
    "reckoning.more-whey-than-vat": "Draw less whey than there is in the vat.",
    "reckoning.much-powder": (
        "More than 3 % of powder brings much milk sugar and salts: the curd sours further and "
        "holds more water (common practice, no source)."
    ),
    "reckoning.multiplier-below-one": "The multiplier must be 1 or more: a cut never comes "
    "before the milk has flocculated.",
    "reckoning.multiplier-unusual": "Published multipliers lie between 2 and 3 (Thom & Fisk; "
    "University of Guelph); others are kitchen tradition: test the break before you cut.",
    "reckoning.no-brining-published": (
        "No time in brine was published for a wheel of such a weight."
    ),
    "reckoning.no-dew-point": "Air without any water has no dew point.",
    "reckoning.no-pair-kept": (
        "The milk met no published pair of temperature and time in full: treat it as "
        "raw. Time at a lower temperature does not add up to a pair."
    ),
    "reckoning.no-salt-stays": "Some of the salt must stay; give a retention above 0 %.",
    "reckoning.not-above": _not_above,
    "reckoning.not-at-least": _not_at_least,
    "reckoning.not-within": _not_within,
    "reckoning.old-brine-too-much": (
        "The old brine holds more salt or more water than the brine wanted; take less of it."
    ),
    "reckoning.overlap-above-height": (
        "The overlap is more than the height of the wheel; use less."
    ),
    "reckoning.parts-above-whole": "Moisture, fat and salt together are more than the whole "
    "cheese; check all three.",
    "reckoning.pressure-above-published": "That is more than the 28 psi (193 kPa) published for "
    "gouda; check what the mould and the press can bear.",
    "reckoning.ramp-fast": "From minute {from_min:g} to {to_min:g} it warms "
    "{c_per_min:temperature_difference.2} a "
    "minute; the limit is {limit:g}.",
    "reckoning.ramp-fast-at-first": (
        "From minute {from_min:g} to {to_min:g} it warms {c_per_min:temperature_difference.2} a "
        "minute; a cheddar at first at most {limit:g} (1 °C in 5 min, University of "
        "Guelph), or the curd forms a skin. Fine alpine curd is published at up to "
        "{alpine:g}."
    ),
    "reckoning.ratio-out-of-reach": (
        "No amount of that reaches the ratio: skim raises protein to fat, cream lowers it."
    ),
    "reckoning.reading-for-each-buffer": "Give one reading for each buffer, with a semicolon "
    "between.",
    "reckoning.reading-for-each-salt": "Give one reading for each salt, of one salt or two.",
    "reckoning.reading-no-number": "A reading in mV is not a number.",
    "reckoning.rennet-table-left": (
        "The table of rennet and temperature goes from {low_c:.1f} to {high_c:.1f} "
        "°C; beyond it, its end value was used."
    ),
    "reckoning.rennet-table-missing": "The table of rennet and temperature is missing.",
    "reckoning.rennet-unusual": "Published make sheets lie between 24 and 63 IMCU for a kg of "
    "milk; more rennet turns a cheese bitter as it ages, less leaves the curd weak.",
    "reckoning.room-for-each-age": "Give one room for each time, in the same order.",
    "reckoning.room-of-late-gas": (
        "From 10 °C late gas was found in cheddar, at 4.5 to 6 °C hardly any (J. Dairy Sci. 98,"
        " 7460, 2015, abstract)."
    ),
    "reckoning.room-outside-trials": (
        "The published trials ripened at 4 to 16 °C; this is extrapolated."
    ),
    "reckoning.rule-aw": "water activity under 0.92",
    "reckoning.rule-ph": "pH under 4.4",
    "reckoning.rule-ph-and-aw": "pH under 5.0 with water activity under 0.94",
    "reckoning.rule-ph-and-moisture": "pH under 5.0 with moisture under 39 %",
    "reckoning.salt-above-blue": "More than the 10 % of the weight that blue cheese is rubbed "
    "with.",
    "reckoning.salt-above-feta": "More than the 5 % published for feta; milled curd takes 1.5 to "
    "3 %.",
    "reckoning.salt-and-moisture-above-whole": "Salt and moisture together are more than the "
    "whole cheese; check both.",
    "reckoning.salt-beyond-brine": (
        "That brine brings this cheese to {most_pct:.2g} % of salt at most; ask for less, or "
        "take a stronger brine."
    ),
    "reckoning.salt-beyond-water": "More salt than the water of the cheese can dissolve: it is "
    "saturated at 26.4 % of salt and water. Check salt and moisture.",
    "reckoning.salt-kept-little": (
        "The lowest published share of salt that stays is 40 %, for a blue type."
    ),
    "reckoning.salt-not-published": "No humidity over that salt is published here.",
    "reckoning.salt-stops-few": (
        "so little salt in the water stops few: at 2.4 % two of three strains germinated, at "
        "3.6 % one"
    ),
    "reckoning.salt-stops-most": (
        "more than 3.6 % of salt in the water stops most strains, once it has come to the middle"
    ),
    "reckoning.schedule-too-long": "That schedule has too many lines; use longer steps.",
    "reckoning.snf-high": "Skim solids of {pct:.1f} % are above the 11 % that cheese milk should "
    "hold.",
    "reckoning.spores-above-limit": (
        "above the 200 in a litre proposed as a limit: expect late blowing"
    ),
    "reckoning.spores-below-limit": (
        "under the 200 in a litre proposed as a limit; slits were found from fewer"
    ),
    "reckoning.spores-blew": "every cheese blew of milk with so many spores",
    "reckoning.spores-few": (
        "so few spores: grana was sound in the cold season, with slits in the warm"
    ),
    "reckoning.spores-rest": "at 5 or 8 °C none germinated",
    "reckoning.spores-unknown": "between 8 and 13 °C nothing is published",
    "reckoning.spores-wake": "spores germinated at 13 °C",
    "reckoning.spring-index": (
        "The formula is for a coil 4 to 12 times as wide as its wire; measure the spring with a"
        " load instead."
    ),
    "reckoning.spring-share": "The share of the load a spring keeps lies between 0 and 1.",
    "reckoning.spring-slackens": (
        "As the curd sinks that far the spring loses {pct:.0f} % of its load: tighten it on the"
        " way, or take softer springs that are squeezed further."
    ),
    "reckoning.standard-above-whole": "Standard moisture and salt together must stay below 100 %.",
    "reckoning.standard-all-salt": "The standard cheese cannot be all salt.",
    "reckoning.temperature-no-number": "The temperature is not a number.",
    "reckoning.tighten-share": "Tighten at a share of the load between 0 and 1.",
    "reckoning.too-alkaline-to-grow": "pH {found:g} is too alkaline (grows up to {limit:g})",
    "reckoning.too-cold-to-grow": "{found:g} °C is too cold (grows from {limit:g} °C)",
    "reckoning.too-dry-to-grow": "water activity {found:.3g} is too low (grows from {limit:g})",
    "reckoning.too-hot-to-grow": "{found:g} °C is too hot (grows up to {limit:g} °C)",
    "reckoning.too-little-to-weigh": (
        "That is less than the {least_g:g} g a kitchen scale can weigh: stir a weighed gram "
        "evenly into sterile salt or milk powder and take a share of that (common practice, no "
        "source)."
    ),
    "reckoning.too-sour-to-grow": "pH {found:g} is too sour (grows from {limit:g})",
    "reckoning.two-buffers": ("Give at least two different buffers, like 4.01 and 7.00."),
    "reckoning.units-unusual": (
        "Makers' sheets that were seen dose 2 to 20 units for 100 L; check the packet."
    ),
    "reckoning.wanted-not-between": ("The wanted value must lie between the two that are mixed."),
    "reckoning.wet-bulb-warmer": "The wet bulb is warmer than the dry one; swap the two readings.",
    "reckoning.wheel-flat": (
        "The wheel would be flatter than an eighth of its width: use a narrower mould."
    ),
    "reckoning.wheel-tall": (
        "The wheel would be taller than one and a half widths: use a wider mould."
    ),
    "reckoning.whey-fatter-than-cheese": "The cheese must hold more fat than the whey.",
    "reckoning.whey-fatter-than-milk": "The whey cannot hold more fat than the milk.",
    "reckoning.yield-of-moist-cheese": (
        "The formula was made for cheddar (about 37 % moisture); for moist cheeses "
        "it gives too low a yield."
    ),
    "reckoning.yield-of-other-milk": (
        "The formula was published for milk of 3 to 5 % fat and 2.1 to 3 % casein; "
        "this milk is outside that."
    ),
    "reckoning.yield-of-whey": "A cheese of 100 % moisture is whey; give a moisture below 100 %.",
    "reckoning.yield-unlikely": "That is {pct:.0f} % of what this milk should give: check the "
    "milk, its fat and the weight.",
}

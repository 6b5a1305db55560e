"""The table itself. Codes stand in records for ever: one that is asked no more goes to `ASKED_BEFORE`."""

from collections.abc import Mapping

from shop.assemblies.points.kinds import At, Point, When

COMMON = "common practice, no source"
MEMORY = "from memory"
NAVY_CUT = "Navy 14315 pp. 10-11"
NAVY_CLEAN = "Navy 14315: foreign matter is looked for before and after the proof test; capped at once"
NAVY_REJECT = "Navy 14104 p. 9-36, 46 CFR 153.940(e): what is rejected on sight"


ENDS, BORE, HOSE, FINISH = "The ends", "The bore", "The hose", "To finish"

POINTS: tuple[Point, ...] = (
    Point(At.CUT, "taped", "The hose was taped where it was cut.", NAVY_CUT, When.TAPED),
    Point(At.CUT, "square", "Cut square, no loose wires.", NAVY_CUT),
    Point(At.CUT, "clean", "The bore is blown clean with filtered air.", NAVY_CUT),
    Point(At.CUT, "length", "The length was measured.", COMMON),
    Point(
        At.CRIMP,
        "cut_off",
        "The old fitting is cut off square, and the bore is blown clean again.",
        NAVY_CUT,
        When.REFITTED,
        which=lambda job: job.cut_off,
    ),
    Point(
        At.CRIMP,
        "new",
        "Fitting and ferrule are new; those that were cut off lie in the scrap.",
        "DGUV 113-020 section 3.1",
        When.REFITTED,
    ),
    Point(
        At.CRIMP,
        "skived",
        "Skived as the chart says.",
        "the crimp chart",
        When.SKIVED,
        which=lambda job: job.skive,
    ),
    Point(At.CRIMP, "ferrule_on", "The ferrule of this end is on the hose.", COMMON, When.LOOSE_FERRULE),
    Point(
        At.CRIMP,
        "sleeve_on",
        "The sleeve is on the hose.",
        COMMON,
        When.SLEEVE,
        which=lambda job: f"{job.ordered.sleeve}",
    ),
    Point(
        At.CRIMP,
        "guard_on",
        "The guard is on the hose.",
        COMMON,
        When.GUARD,
        which=lambda job: f"{job.ordered.guard}",
    ),
    Point(At.CRIMP, "band_on", "The band for the mark is on the hose.", COMMON, When.BAND),
    Point(
        At.CRIMP,
        "eased",
        "Eased in with nothing but what the maker allows; else water, or soap and water.",
        "ISO 8331:2014",
        When.EASED,
    ),
    Point(At.CRIMP, "mark", "The insertion mark is seen at the ferrule.", MEMORY),
    Point(
        At.CRIMP,
        "angle",
        "The far end stands at its angle, layline straight.",
        "MIL-DTL-83796/5 Figure 3",
        When.TURNED,
        which=lambda job: f"{job.ordered.angle_deg}°",
    ),
    Point(At.CRIMP, "inside", "The ferrule is wholly inside the dies, the press went to its stop.", COMMON),
    Point(
        At.INSPECT,
        "mark_unmoved",
        "The mark at each ferrule has not moved: the fitting went in fully and stayed.",
        COMMON,
        group=ENDS,
    ),
    Point(At.INSPECT, "ferrule_seated", "Each ferrule sits where the fitting wants it.", COMMON, group=ENDS),
    Point(At.INSPECT, "die_marks_even", "The die marks are even all round.", COMMON, group=ENDS),
    Point(At.INSPECT, "no_crack", "No crack and no fold in ferrule or fitting.", NAVY_REJECT, group=ENDS),
    Point(
        At.INSPECT,
        "bore_pin",
        "The pin goes through by its own weight: the bore is not narrowed by more than 10 %.",
        "SAE J516-2019; MIL-DTL-13719G 3.5.1",
        When.PIN,
        BORE,
    ),
    Point(
        At.INSPECT,
        "bore_open",
        "The bore is not narrowed by more than 10 %.",
        "SAE J516-2019",
        When.NO_PIN,
        BORE,
    ),
    Point(
        At.INSPECT,
        "layline_straight",
        "The layline runs straight: the hose is not twisted.",
        NAVY_REJECT,
        group=HOSE,
    ),
    Point(
        At.INSPECT,
        "cover_whole",
        "No damage to the cover, no bulge, no wire showing.",
        NAVY_REJECT,
        group=HOSE,
    ),
    Point(
        At.INSPECT, "parts_fitted", "Sleeve, guard and band are on, as ordered.", COMMON, When.FITTED, HOSE
    ),
    Point(At.INSPECT, "clean", "Clean inside and out.", NAVY_CLEAN, group=FINISH),
    Point(
        At.INSPECT,
        "cleaned_to",
        "Flushed and dried for the cleanliness that is ordered.",
        "ISO 4406; only a particle count proves it",
        When.CLEANED_UNTESTED,
        FINISH,
        which=lambda job: f"{job.ordered.cleanliness}",
    ),
    Point(At.INSPECT, "capped", "Both ends are capped.", NAVY_CLEAN, When.CAPPED_UNTESTED, FINISH),
    Point(
        At.INSPECT,
        "looks",
        "Colour, lettering and wrapping are as ordered, where the customer asked for any.",
        COMMON,
        group=FINISH,
    ),
    Point(At.BEFORE_TEST, "bled", "All air is bled.", "TM 5-4220-226-14"),
    Point(
        At.BEFORE_TEST,
        "tied",
        "The hose is tied against whipping, a long one at several points.",
        "TM 1-1500-204-23-2 p. 4-47",
    ),
    Point(At.BEFORE_TEST, "covered", "The cover is closed over it.", "TM 1-1500-204-23-2 p. 4-47"),
    Point(At.BEFORE_TEST, "clear", "Nobody stands near it who isn't testing.", "TM 5-4220-226-14"),
    Point(At.BEFORE_TEST, "eyes", "Eyes and face are covered.", "TM 1-1500-204-23-2 p. 4-47"),
    Point(
        At.BEFORE_TEST,
        "line_drawn",
        "A line is drawn over hose and ferrule at each end.",
        "Navy Fireman manual, 14104",
    ),
    Point(At.AFTER_TEST, "dry", "No leak, not even a wet ferrule.", NAVY_CLEAN),
    Point(At.AFTER_TEST, "line_unmoved", "The line at each ferrule is where it was.", "Navy 14104"),
    Point(At.AFTER_TEST, "undamaged", "No damage and no bulge.", NAVY_REJECT),
    Point(At.AFTER_TEST, "clean", "Emptied, blown dry, and clean inside and out.", NAVY_CLEAN),
    Point(
        At.AFTER_TEST,
        "cleaned_to",
        "Flushed and dried for the cleanliness that is ordered.",
        "ISO 4406; only a particle count proves it",
        When.CLEANED,
        which=lambda job: f"{job.ordered.cleanliness}",
    ),
    Point(At.AFTER_TEST, "capped", "Both ends are capped.", NAVY_CLEAN, When.CAPPED),
    Point(
        At.RELEASE,
        "looked_again",
        "Looked at again since its proof test: dry, nothing slipped, nothing inside.",
        NAVY_CLEAN,
        When.LOOK_AGAIN,
    ),
    Point(
        At.RELEASE,
        "marked",
        "The lasting mark is on it, and was read there.",
        "DGUV 113-020 Annex 1 Table 1",
        When.MARKED,
        which=lambda job: job.mark_place,
    ),
    Point(
        At.RELEASE,
        "marking",
        "The customer's marking is on it.",
        COMMON,
        When.MARKING,
        which=lambda job: f"{job.ordered.marking}",
    ),
)

# What records from before still say, by where it was asked.
ASKED_BEFORE: Mapping[tuple[At, str], str] = {
    (At.CRIMP, "threaded"): "Sleeves, guards and ferrules that belong on the hose are on it.",
}

"""What is looked at on a finished assembly, in the order in which it is handled."""

# Visual acceptance: the reject lists of Navy 14104 p. 9-36 and 46 CFR 153.940(e) (cover, wire, layline,
# slip); the mark at the ferrule, seating and even die marks are common practice, no source.
INSPECTION_POINTS: tuple[tuple[str, str], ...] = (
    ("mark_unmoved", "The mark at each ferrule has not moved: the fitting went in fully and stayed."),
    ("ferrule_seated", "Each ferrule sits where the fitting wants it."),
    ("die_marks_even", "The die marks are even all round."),
    ("no_crack", "No crack and no fold in ferrule or fitting."),
    # SAE J516-2019: assembly may narrow the bore by 10 % at most.
    ("bore_open", "The bore is not narrowed by more than 10 % (the gauge pin goes through)."),
    ("layline_straight", "The layline runs straight: the hose is not twisted."),
    ("cover_whole", "No damage to the cover, no bulge, no wire showing."),
    ("parts_fitted", "Sleeve, guard and band are on, if they were ordered."),
    ("clean", "Clean inside and out."),
    ("capped", "Both ends are capped."),
    ("looks", "Colour, lettering and wrapping are as ordered, where the customer asked for any."),
)
# What anyone may put right and show again, without an assembly having been found unsafe.
PUT_RIGHT = frozenset({"parts_fitted", "clean", "capped"})
# What the customer may take as it is, in writing. How an assembly looks harms nobody, and only who knows the
# machine can say whether another length or angle does; everything else on the list is what holds pressure
# or keeps a hose whole, or can be put right (common practice, no source). What somebody wrote in own words
# may be anything, so it is never among them.
LENGTH, ANGLE = "length", "angle"
CONCEDABLE = {
    LENGTH: "the finished length",
    ANGLE: "the angle between the ends",
    "looks": "colour, lettering and wrapping",
}

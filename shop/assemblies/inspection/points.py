"""What is looked at on a finished assembly, and what of it can be put right."""

from shop.assemblies.points import At, points_at

# Every point that may be asked; which of them are is worked out for the assembly.
INSPECTION_POINTS: tuple[tuple[str, str], ...] = tuple(
    (point.code, point.words) for point in points_at(At.INSPECT)
)
# What anyone may put right and show again, without an assembly having been found unsafe.
PUT_RIGHT = frozenset({"parts_fitted", "clean", "cleaned_to", "capped"})
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

"""Why the catalogue's services say no."""

from shop.core.refusals import Doubt, Refusal


class ChartIsEmpty(Refusal):
    rule = 1
    says = "Chart {chart} has no line."
    do = "Type its lines first."


class BeingTyped(Refusal):
    rule = 8
    says = "{name} has typed in chart {chart} since it was last checked."
    do = "Let {name} put it right, or check it first. What you type then is for somebody else to check."


class ChartNotChecked(Refusal):
    rule = 1
    says = "Chart {chart} has not been checked since it was last typed."
    do = "Let somebody compare each line with the maker's document and press 'checked'."


class IssueStartsEarlier(Refusal):
    rule = 1
    says = "Issue {issue} can't be in force from {day}: it would change what was prescribed then."
    do = "Let it begin today or later."
    field = "effective_from"


class AlreadyWithdrawn(Refusal):
    rule = 1
    says = "{issue} was withdrawn already."
    do = "Nothing more is to be done."


class SameLineTwice(Refusal):
    rule = 1
    says = "Two lines of chart {chart} prescribe for the same hose, series, material, die and stop: {line}."
    do = "Take one of the two off the chart."


class AnotherChartPrescribes(Refusal):
    rule = 1
    says = "{other} prescribes for the same hose, series, material, die and stop: {line}."
    do = "Take the line off one of the two charts, or withdraw that issue first."


class TypeOfAnotherSize(Refusal):
    rule = 2
    says = "A hose of size -{dash} is not built to {standard}."
    do = "Choose the row of its own size, as its standard counts it."
    field = "standard"


class BoreNotOfSize(Doubt):
    """More than 15 % off the size's bore: common practice, no source."""

    says = "A true bore of {bore} is far from the {usual} of size -{dash} of {standard}: {counts}."
    do = "Look at the size and at the bore once more; if its document prints both, tick that it is meant."
    field = "bore"


class OneRatingOnly(Refusal):
    rule = 2
    says = "{hose} has no two ratings to choose from: {missing} is not known."
    do = "The one that is known counts, with nothing to choose."


class RatingNotConfirmed(Refusal):
    rule = 2
    says = "Nobody has confirmed the rating of {part} against its document."
    do = "Let an inspector or an owner confirm it, then choose."


class ChoiceWithoutReason(Refusal):
    rule = 2
    says = "Why this rating governs is missing."
    do = "Write what it rests on, such as the maker's letter and its date."
    field = "reason"


class MakerNotAbove(Refusal):
    rule = 2
    says = "The maker's {maker} is not above the published {published}, so the lower governs as it is."
    do = "Leave it at the lower of the two."
    field = "governs"

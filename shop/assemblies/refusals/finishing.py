"""Why it isn't inspected, tagged, released or handed over."""

from shop.core.refusals import Refusal


class NoLengthTolerance(Refusal):
    says = "{rules} has no tolerance for {overall} mm in size -{dash}, so the length can't be inspected."
    do = "Have the policy hold finished length to another table."
    field = "finished_length"


class MeasureNotUsable(Refusal):
    says = "{why}"
    do = "Measure again and type what you read."


class AngleNotMeasured(Refusal):
    says = "The angle between the ends matters on this assembly: {wanted}° is ordered."
    do = "Measure it: near end at six o'clock, counter-clockwise to the far end."
    field = "angle_deg"


class PinNotMeasured(Refusal):
    says = "By the policy a pin goes through the bore of each, and its diameter is not typed."
    do = "Measure the pin that went through: {least} mm or more, for {narrowest}."
    field = "pin"


class PinTooThin(Refusal):
    says = "A pin of {pin} mm shows nothing: {least} mm are nine tenths of the bore of {narrowest}."
    do = "Take one of {least} mm or more. If it doesn't go through, leave its point unticked."
    field = "pin"


class RatingDoubtful(Refusal):
    rule = 2
    says = "{why}"
    do = "Let someone compare it with its document and confirm it. Until then the assembly stays here."


class RatingLower(Refusal):
    rule = 2
    says = "{assembly} was confirmed at {confirmed}; its parts come to {now} today."
    do = "Have the line confirmed again, or scrap the assembly."


class NoLongerRight(Refusal):
    rule = 2
    says = "{assembly} was confirmed, but today it would be refused. {why}"
    do = "Have the entry in the catalogue put right if it is wrong. If it is right, scrap the assembly."


class TemperaturesNarrower(Refusal):
    rule = 2
    says = "{assembly} was confirmed for {confirmed}; its parts are for {now} today."
    do = "Have the line confirmed again, or scrap the assembly."


class NoLongerFit(Refusal):
    rule = 2
    says = "{assembly} was released, but it would not be today. {why}"
    do = "Keep it here: take it out of service, or have put right what stands against it."


class TagSaysOtherwise(Refusal):
    rule = 13
    says = "The tag says {tag}; as confirmed now it is {now}."
    do = "Print the tag again and put the new one on the hose."


class NoTagYet(Refusal):
    rule = 13
    says = "{assembly} is {state} and gets no tag."
    do = "Its next step: {next}"


class TagNotRead(Refusal):
    rule = 13
    says = "This is not the code of a tag: {why}"
    do = "Scan the tag on the hose, or type the code under it."
    field = "scanned"


class AnotherTag(Refusal):
    rule = 13
    says = "The tag on the hose is that of {found}, not of {assembly}."
    do = "Put each tag on its own hose and scan again."
    field = "scanned"

"""Why the bench says no. Each sentence names what is wrong, what was wanted, and what to do next."""

from shop.core.refusals import Doubt, Refusal

# --- the road ---------------------------------------------------------------------------------------


class NotTheNextStep(Refusal):
    says = "{assembly} can't be {done} now."
    do = "Its next step: {next}"


class AlreadyDone(Refusal):
    says = "Somebody has done this to {assembly} just now."
    do = "Look at the assembly again before you go on."


class SentDifferently(Refusal):
    says = "This form was sent before with other values, and those were recorded."
    do = "Look at what is recorded. If it is wrong, correct it there."


class AlreadyPlanned(Refusal):
    says = "The assemblies of {line} are planned already."
    do = "Look for them on the bench."


class NotScrapped(Refusal):
    says = "{assembly} is {state}, so nothing replaces it."
    do = "Scrap it first if it can't be used. For one that left the workshop write a new line."


class SettledAlready(Refusal):
    says = "Somebody has decided already that {assembly} is not replaced."
    do = "If the customer wants it after all, plan its replacement."


class AlreadyReplaced(Refusal):
    says = "{assembly} is replaced by {replacement} already."
    do = "Make that one."


class ChartMovedOn(Refusal):
    rule = 1
    says = "End {end} was confirmed on {old}. {became} {changes}"
    do = "Have the line confirmed again before you go on."


class CrimpedToAnotherChart(Refusal):
    rule = 1
    says = (
        "End {end} was crimped to {old}. By {now}, which the line is confirmed on now, it is not right: {why}"
    )
    do = "Scrap the assembly and plan a replacement."


class ConfirmedToAnotherLength(Refusal):
    rule = 3
    says = "{assembly} was confirmed to be cut to {confirmed} mm; as its ends are now it would be {now} mm."
    do = "Have the line confirmed again before you go on."


class CutToAnotherLength(Refusal):
    rule = 3
    says = "{assembly} was cut to {cut} mm; the line as confirmed now needs {wanted} mm."
    do = "Scrap this hose and plan a replacement."


class ReasonMissing(Refusal):
    says = "A decision needs its reason."
    do = "Write in a few words why."
    field = "reason"


# --- the hose ---------------------------------------------------------------------------------------


class WrongHose(Refusal):
    rule = 10
    says = "{piece} is {found}; {wanted} is wanted."
    do = "Take a piece of {wanted}."


class HoseOfAnotherMaker(Refusal):
    rule = 1
    says = "{piece} is {found}, built to {standard} like {wanted}, but it is another hose."
    do = "No chart line for {wanted} covers it. Take a piece of {wanted}, or write a line for {found}."


class HoseTooOld(Refusal):
    rule = 10
    says = "{piece} was made {made} and could be fitted until {last_day} ({months} months by policy)."
    do = "Take a younger piece."


class HoseWithoutDate(Refusal):
    rule = 10
    says = "Nobody wrote down when {piece} was made, and policy doesn't allow hose without a date."
    do = "Take a dated piece."


# --- tools and lots ---------------------------------------------------------------------------------


class ToolBlocked(Refusal):
    rule = 4
    says = "{tool} is not to be used: {reason}."
    do = "Take another one."


class WrongCrimper(Refusal):
    rule = 4
    says = "{crimper} works with {found}; the chart gives {wanted}."
    do = "Take a crimper that works with {wanted}."


class NoArrangement(Refusal):
    rule = 1
    says = "Nobody has written down what goes into {crimper} for die {die_type} and {stop}."
    do = "Take a crimper that has an arrangement for them, or have it written down first."


class ArrangementNotComplete(Refusal):
    rule = 4
    says = "Not ticked yet: {missing}."
    do = "Look into the crimper, put it right, and tick each part."


class WrongDie(Refusal):
    rule = 4
    says = "{die_set} is a die set of type {found}; the chart wants {wanted}."
    do = "Take a die set of type {wanted}."


class WrongStopPart(Refusal):
    rule = 4
    says = "{stop_part} is a stop of type {found}; the chart wants {wanted}."
    do = "Take a stop part of type {wanted}."


class StopPartMissing(Refusal):
    rule = 4
    says = "The chart wants a stop part of type {wanted} and none was named."
    do = "Scan the stop part that you put in."
    field = "stop_part"


class StopPartNotWanted(Refusal):
    rule = 4
    says = "{stop_part} is a stop part; the chart gives {wanted}."
    do = "Take the stop part out and set the value."
    field = "stop_part"


class StopSettingMissing(Refusal):
    rule = 4
    says = "The crimper's value was not typed; the chart starts at {wanted}."
    do = "Type the value that you set. The diameter governs."
    field = "stop_setting"


class StopSettingNotWanted(Refusal):
    rule = 4
    says = "The chart wants a stop part of type {wanted}, and a value was typed."
    do = "Leave the value empty."
    field = "stop_setting"


class NotACaliper(Refusal):
    rule = 5
    says = "{gauge} is a {kind}; a crimp is measured with a caliper."
    do = "Take a caliper."


class GaugeOutOfCalibration(Refusal):
    rule = 5
    says = "{gauge} is not in calibration: {why}."
    do = "Take a calibrated one. Nothing is judged with this one until it is calibrated."


class GaugeTooCoarse(Refusal):
    rule = 5
    says = "{gauge} can't judge this."
    do = "{why}"


class WrongFitting(Refusal):
    rule = 4
    says = "{lot} holds {found}; end {end} gets {wanted}."
    do = "Take a fitting from a lot of {wanted}."


class FerruleForAnotherHose(Refusal):
    rule = 4
    says = (
        "{lot} holds {found}: a ferrule of the same series, but not the one for {hose}. It would grip badly "
        "and the end could blow off."
    )
    do = "Take {wanted}."


class WrongFerrule(Refusal):
    rule = 4
    says = "{lot} holds {found}; the chart wants {wanted}."
    do = "Take {wanted}."


class FerruleMissing(Refusal):
    rule = 4
    says = "The chart wants ferrule {wanted} and no lot was named."
    do = "Scan the bin that you took it from."
    field = "ferrule_lot"


class FerruleNotWanted(Refusal):
    rule = 4
    says = "{lot} holds {found}, and this fitting has its ferrule already."
    do = "Leave the loose ferrule away."
    field = "ferrule_lot"


class OnlyTheSameParts(Refusal):
    rule = 7
    says = "Crimping again is done on the same fitting and ferrule, which are of {fitting_lot}{ferrule_lot}."
    do = "Name the lots of the first crimp. If the parts were changed, scrap the assembly."


class NotForThisJob(Refusal):
    rule = 4
    says = "{thing} has no part in this."
    do = "{wanted}"


# --- readings and decisions -------------------------------------------------------------------------


class TooFewReadings(Refusal):
    rule = 6
    says = "The chart asks for {wanted} readings at each place and there are {got}."
    do = "Measure the rest, turning the hose between readings."
    field = "readings"


class ReadingNotUsable(Refusal):
    says = "{reading} is not a diameter."
    do = "Type what the caliper shows, in millimetres, to six places at most."
    field = "readings"


class ImplausibleReading(Doubt):
    rule = 9
    says = "{question}"
    do = "Look at the caliper again. If it is what it shows, tick that and send again."
    field = "readings"


class NotTheNewestCrimp(Refusal):
    rule = 9
    says = "{assembly}, end {end}, was crimped again since."
    do = "Measure the crimp that is there now."


class CorrectedAlready(Refusal):
    rule = 9
    says = "These readings were corrected already; both stay on record."
    do = "Correct the newer ones if they are wrong too."


class TooLateToCorrect(Refusal):
    rule = 9
    says = "{assembly} is {state}, so its readings stand as they are."
    do = "If it may not be safe, take it out of service, or scrap it if it has not left the workshop."


class NothingToDecide(Refusal):
    rule = 6
    says = "{assembly} is not {wanted}."
    do = "Its next step: {next}"


class CrimpAgainRefused(Refusal):
    rule = 7
    says = "This end can't be crimped again: {why}."
    do = "Scrap the assembly and plan a replacement."


# --- inspection, tag, release -----------------------------------------------------------------------


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


class NotAnInspectionPoint(Refusal):
    says = "{code} is no point of the inspection."
    do = "Tick the points on the list."


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


# --- what finished lengths say ----------------------------------------------------------------------


class TooFewFinished(Refusal):
    rule = 3
    says = "{why}"
    do = "Until then it is cut by the chart as it is."


class CorrectionNotProven(Refusal):
    rule = 3
    says = "{why}"
    do = "Cut by the chart as it is, and go on measuring."


class CorrectionStandsAlready(Refusal):
    rule = 3
    says = "{hose} with {series} at both ends is cut by these figures already."
    do = "Nothing has to be done."


class NoCorrectionInForce(Refusal):
    rule = 3
    says = "{hose} with {series} at both ends is cut by the chart as it is."
    do = "There is no correction to end."

"""Why a thing that was scanned is the wrong one: hose, tools, lots."""

from shop.core.refusals import Refusal


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


class ToolBlocked(Refusal):
    rule = 4
    says = "{tool} is not to be used: {reason}."
    do = "Take another one."


class ToolCheckDue(Refusal):
    rule = 4
    says = "{tool} has made {uses} crimps since it was last found fit; it is looked at every {every}."
    do = "Look at it and record that on its page, or take another one."


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

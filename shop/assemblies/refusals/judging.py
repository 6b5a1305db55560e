"""Why readings don't count."""

from shop.core.refusals import Doubt, Refusal


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


class LotsAreTheSame(Refusal):
    rule = 9
    says = "These are the lots that are recorded already."
    do = "Scan the bins that the parts were taken from, if they were others."


class LotCameLater(Refusal):
    rule = 12
    says = "{lot} came in {when}, after this end was crimped."
    do = "Look for the bin that was at the press that day."

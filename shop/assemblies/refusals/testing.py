"""Why an assembly is not pumped up, and why what was pumped up is no proof test."""

from shop.core.refusals import Doubt, Refusal


class GasForTest(Refusal):
    says = "An assembly is never proof tested with gas: it bursts like a charge if the hose lets go."
    do = "Fill it with water or hydraulic fluid and bleed all air."
    field = "fluid"


class NotAPressureGauge(Refusal):
    rule = 5
    says = "{thing} is no pressure gauge."
    do = "Scan the label of a pressure gauge."


class PressureGaugeUnfit(Refusal):
    rule = 5
    says = "{gauge} can't tell this test. {why}"
    do = "Take one that fits, before the pump starts."


class AdaptorsTooWeak(Refusal):
    says = "The weakest adaptor is rated {adaptors}, and the test may reach {highest}."
    do = "Put in adaptors that are rated {highest} or more. Don't start the pump before."
    field = "adaptors"


class NotReadyForTest(Refusal):
    says = "Not ticked yet: {missing}"
    do = "Don't start the pump before each of them is done and seen."
    field = "ready"


class NotLookedAtAfterTest(Refusal):
    says = "Neither seen to be right nor found wrong: {missing}"
    do = "Look at it with the pressure off. Tick what is right, or what you found wrong."
    field = "seen"


class ProofTestStands(Refusal):
    rule = 7
    says = "The proof test of {assembly} did not pass, and no other test takes its place."
    do = "Its next step: {next}"


class BothWays(Refusal):
    says = "Two things are ticked that can't both be so: {wrong} {right}"
    do = "Look at it again and tick what is so. What failed its proof test is scrap."
    field = "found"


class BelowProofPressure(Refusal):
    says = "{peak} is below proof pressure, {required}: that proves nothing."
    do = "Test it again, and go up to {required}. Don't go above {highest}."
    field = "peak"


class HeldTooShort(Refusal):
    says = "It was held for {held} s; {wanted} s are wanted: that proves nothing."
    do = "Test it again and hold it long enough."
    field = "held_s"


class SomethingFoundOnSeveral(Refusal):
    says = "Something was found wrong, and {count} were tested together: which of them it was is not said."
    do = "Record the test of that one by itself: it is scrap. Test the others again, their pressure fell."
    field = "count"


class ImplausiblePeak(Doubt):
    rule = 9
    says = "{peak} is above what the hose bursts at at the least, {burst}, and nothing was found."
    do = "Look at the gauge's unit again. If it went that high, tick that and send again: it is held then."
    field = "peak"


class CurveNotUsable(Refusal):
    says = "{why}"
    do = "Choose the file that the test bench wrote, or leave it out."
    field = "curve"


class CurveSaysOtherwise(Doubt):
    rule = 9
    says = "The curve says {curve}; typed was {typed}."
    do = "Look at both again. If the curve is of this test, tick that: what is worse of the two counts."
    field = "curve"


class CurveDamaged(Refusal):
    rule = 12
    says = "The kept curve of {test} is {damage}."
    do = "Take it from a backup, and have the ledger checked."

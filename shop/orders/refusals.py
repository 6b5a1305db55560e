"""Why a line can't be written, or can't be confirmed."""

from shop.core.refusals import Doubt, Refusal


class DutyRefused(Refusal):
    says = "Assemblies for {duty} are not made with this program."
    do = "Send the customer to a workshop that is licensed for it."
    field = "duty"


class EngineerMissing(Refusal):
    says = "Used for {duty}, the line needs the approval of a named engineer."
    do = "Write the engineer's name and document on the line."
    field = "engineer"


class WrongSizeForHose(Refusal):
    says = "{fitting} is for hose size -{fitting_dash}; {hose} is size -{hose_dash}."
    do = "Choose a fitting for hose size -{hose_dash} at end {end}."


class NoSpecification(Refusal):
    rule = 1
    says = "No crimp chart in force says how to crimp {fitting} ({material}) on {hose} at end {end}.{others}"
    do = "Choose parts that a chart names together, or have the maker's chart typed, checked and issued."


class PressureAboveRating(Refusal):
    rule = 2
    says = "{demand} is above the rating of {rating}: {governing} governs."
    do = "Choose a stronger {part}, or ask the customer to limit the pressure."
    field = "pressure_typed"


class TooHot(Refusal):
    rule = 2
    says = "{part} is for use up to {highest} °C; the fluid is at {temperature} °C."
    do = "Choose a hose for that temperature. A hose is not derated above its limit: it is not used."
    field = "temperature_c"


class TooCold(Refusal):
    rule = 2
    says = "{part} is for use down to {lowest} °C; the fluid is at {temperature} °C."
    do = "Choose a hose for that temperature. A hose is not used below its limit."
    field = "temperature_c"


class FluidTooHot(TooHot):
    says = "Hose carries {part} up to {highest} °C; here it is at {temperature} °C."
    do = "Ask the customer for the temperature in the line. If it is right, no hose is for it."


class FluidTooCold(TooCold):
    says = "Hose carries {part} down to {lowest} °C; here it is at {temperature} °C."
    do = "Ask the customer for the temperature in the line. If it is right, no hose is for it."


class SealTooHot(TooHot):
    do = "Choose an end whose seal is for that temperature."


class SealTooCold(TooCold):
    do = "Choose an end whose seal is for that temperature."


class NotForSuction(Refusal):
    says = "{hose} has no vacuum printed, so it is not for suction: it may collapse inside and not show it."
    do = "Choose a suction hose, or type the vacuum that its document prints."
    field = "vacuum_typed"


class VacuumTooDeep(Refusal):
    says = "A vacuum of {vacuum} is deeper than the {rated} that {hose} stands."
    do = "Choose a hose for that vacuum, or ask the customer to limit it."
    field = "vacuum_typed"


class VacuumNotUsable(Refusal):
    says = "{why}"
    do = "A vacuum is counted down from atmosphere: 1.01325 bar at the most. Check the figure and its unit."
    field = "vacuum_typed"


class PartNotRated(Refusal):
    rule = 2
    says = "{part} has no rating, and no rating is not 'unlimited'."
    do = "Type the rating that its maker's document prints, and have it confirmed."


class RatingNotConfirmed(Refusal):
    rule = 2
    says = "Nobody has confirmed the rating {rating} of {part} against its document."
    do = "Let someone compare it with the document and confirm it. Until then the line is a quotation."


class FluidNotApproved(Refusal):
    says = "{hose} is not approved for {fluid}."
    do = "Choose a hose that is, or look in the maker's document and add the fluid to this hose."
    field = "fluid"


class SealNotApproved(Refusal):
    says = "The seal {seal} {ends} ({fitting}) is not approved for {fluid}."
    do = "Choose an end whose seal is, or look in the seal maker's document and add the fluid to this seal."
    field = "fluid"


class TipsNotKnown(Refusal):
    rule = 3
    says = (
        "How much metal {fitting} {ends} has beyond {datum} is not known, so a length from tip to tip can't "
        "be reckoned with."
    )
    do = "Type that figure on the fitting, or measure to {datum}."
    field = "measured"


class AssemblyTooShort(Refusal):
    rule = 3
    says = "An overall length of {overall} mm leaves less than {least} mm of free hose between the ferrules."
    do = "With these ends the overall length is at least {shortest} mm."
    field = "overall_typed"


class LengthLooksLikeMetres(Refusal):
    rule = 3
    says = "{overall} mm is less than the two ends alone take."
    do = "If metres are meant, type {typed} m: that is {as_metres} mm."
    field = "overall_typed"


class NoLengthTolerance(Refusal):
    says = "{rules} has no tolerance for {overall} mm in size -{dash}, so the length could not be inspected."
    do = "Let the owner choose other length rules in the policy, or order another length."
    field = "overall_typed"


class AngleMissing(Refusal):
    says = (
        "Both ends face one way and stay as crimped, so the angle between them decides whether it fits: "
        "end A by {a}, end B by {b}."
    )
    do = "Type the angle as this order counts it: {convention}."
    field = "angle_deg"


class AngleConventionFixed(Refusal):
    says = "The angles on the lines of {order} are measured like this: {convention}."
    do = "Leave it so. Lines that are measured another way go on an order of their own."
    field = "angle_convention"


class TooShortToTwist(Refusal):
    says = (
        "Only {free} mm of hose is free between the ferrules, less than {diameters} outside diameters: it "
        "can't twist out of an error of the angle."
    )
    do = "Set the angle with care. It may be {allowed}° off and no more."


class ProofNotKnown(Refusal):
    says = "What the assembly is proved with is not known. {why}"
    do = "Compare the hose's printed figures with its document, and the proof pressure in the policy."


class ToolingNotOwned(Refusal):
    rule = 1
    says = "For end {end} the workshop lacks {lacking} (die {die}, {stop})."
    do = "Get the tooling and enter it before the order reaches the bench."


class NothingChanged(Refusal):
    says = "{line} is confirmed as it stands."
    do = "Change the line if something else is wanted."


class LineCancelled(Refusal):
    says = "{line} was cancelled."
    do = "Write a new line."


class LineIsBeingMade(Refusal):
    says = "{line} is confirmed, and its assemblies are planned or made."
    do = "Write a new line for what is to be different. What is not wanted any more is scrapped at the bench."


class WorksheetNotWorkedOut(Refusal):
    says = "With what was typed, the worksheet comes to no answer."
    do = "Answer what is marked until the answer stands there, then attach it."


class WorksheetAttachedBefore(Refusal):
    says = "{line} has this worksheet with the same values already."
    do = "Leave it as it is, or type the other values that are meant."


class WorksheetTakenOffBefore(Refusal):
    says = "This worksheet was taken off {line} before."
    do = "Look at the line again. If it is needed after all, attach it anew."


class NoProofTestsHere(Refusal):
    rule = 7
    says = "The line asks for proof tests, and by {policy} nothing is proof tested here."
    do = "Have it tested elsewhere and leave the tick out, or set a policy that tests what is ordered."
    field = "proof_test_wanted"


class CleanlinessNotUsable(Refusal):
    says = "{why}"
    do = "Type it like 18/16/13, or leave it empty if no cleanliness is ordered."
    field = "cleanliness"


class VeryLongAssembly(Doubt):
    says = "{overall} mm is {metres} m of hose."
    do = "If that is meant, tick it and send again. If not, type the length with its unit."
    field = "overall_typed"


class VeryHighPressure(Doubt):
    says = "{demand} is far above what hydraulic hose is made for."
    do = "Check the unit, then tick it and send again if it is meant."
    field = "pressure_typed"


class VeryMany(Doubt):
    says = "{quantity} assemblies are very many on one line."
    do = "If that is meant, tick it and send again. Once confirmed, each is a hose to be made or scrapped."
    field = "quantity"

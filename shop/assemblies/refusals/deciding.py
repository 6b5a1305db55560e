"""Why something can't become of what is held or failed."""

from shop.core.refusals import Refusal


class NothingToDecide(Refusal):
    rule = 6
    says = "{assembly} is not {wanted}."
    do = "Its next step: {next}"


class ReasonMissing(Refusal):
    says = "A decision needs its reason."
    do = "Write in a few words why."
    field = "reason"


class CauseOfAnotherAct(Refusal):
    says = "“{cause}” is no reason to {act}."
    do = "Take one that is on the list for it, or say it in your own words."
    field = "cause"


class CrimpAgainRefused(Refusal):
    rule = 7
    says = "This end can't be crimped again: {why}."
    do = "Cut the end off and refit it if that is allowed, or scrap the assembly and plan a replacement."


class RefitRefused(Refusal):
    rule = 11
    says = "It can't be cut off and refitted: {why}."
    do = "Scrap the assembly and plan a replacement."


class EndNotNamed(Refusal):
    says = "Nothing says which end is to be cut off."
    do = "Say which end."
    field = "cut_end"


class CutOffTooLittle(Refusal):
    rule = 11
    says = "With {cut_off} off, hose that was pressed in the ferrule stays on: {least} of it were in there."
    do = "Cut behind the ferrule, where the hose is as new, and type what comes off."
    field = "cut_off"


class RefitTooShort(Refusal):
    rule = 7
    says = (
        "With {cut_off} off, {assembly} comes out at {finished}: {short} shorter than the {least} that {why}."
    )
    do = "Scrap it and plan a replacement. To deliver it shorter takes a new order line."
    field = "cut_off"


class RefitTooLong(Refusal):
    rule = 7
    says = (
        "With {cut_off} off, {assembly} still comes out at {finished}: {long} longer than the order allows."
    )
    do = "Cut off more, so that it comes out at {most} at most."
    field = "cut_off"


class ConcessionRefused(Refusal):
    rule = 7
    says = "No concession is possible: {why}."
    do = "{instead}"


class AgreementMissing(Refusal):
    rule = 7
    says = "A concession is the customer's: it needs who agreed there, and in which paper."
    do = "Write the name and the letter, mail or order change in which it stands."
    field = "agreed_by"

"""Why an assembly can't go on: its steps, what was confirmed, what replaces it."""

from shop.core.refusals import Doubt, Refusal


class NotTheNextStep(Refusal):
    says = "{assembly} can't be {done} now."
    do = "Its next step: {next}"


class AlreadyDone(Refusal):
    says = "Somebody has done this to {assembly} just now."
    do = "Look at the assembly again before you go on."


class HappenedTooEarly(Refusal):
    rule = 12
    says = "{at} is before {what}, {when}."
    do = "Look at the job card of {assembly} again: which time is right?"
    field = "happened_at"


class LongAgo(Doubt):
    rule = 12
    says = "{at} is {days} days ago."
    do = "If the job card says so, tick that and send it again."
    field = "happened_at"


class SentDifferently(Refusal):
    says = "This form was sent before with other values, and those were recorded."
    do = "Look at what is recorded. If it is wrong, correct it there."


class NotTicked(Refusal):
    says = "Not ticked yet: {missing}"
    do = "Tick each of them once it is done and seen."
    field = "seen"


class NotAPoint(Refusal):
    says = "{code} is nothing that is ticked here."
    do = "Tick the points on the list."
    field = "seen"


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

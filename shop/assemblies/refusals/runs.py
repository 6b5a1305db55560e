"""Why a run of equal assemblies can't go on as it is."""

from shop.core.refusals import Refusal


class RunNotProven(Refusal):
    rule = 6
    says = "{assembly} was crimped as {sampling} at end {end} and has not been measured."
    do = "Measure it before you crimp the next: it proves those before it or stops those after it."


class RunInQuestion(Refusal):
    rule = 6
    says = "The crimp of {assembly} on this set-up at end {end} {outcome}."
    do = "Find out why, put it right, and set the crimper up once more before you crimp the next."


class SetUpOfSomebodyElse(Refusal):
    rule = 4
    says = "{name} has set this crimper up for end {end}; you are at the bench now."
    do = "Look at what is in the press and set up once more: it takes a scan of each part."


class SetUpOfAnotherShift(Refusal):
    rule = 4
    says = "This crimper was set up for end {end} in another shift."
    do = "Look at what is in the press and set up once more: it takes a scan of each part."


class SetUpTakenApart(Refusal):
    rule = 4
    says = (
        "{name} has set up {taken} for {run}, end {at}; what was set up here for end {end} ended with that."
    )
    do = "Look at what is in the press and set up once more: it takes a scan of each part."


class NotSoMany(Refusal):
    says = "{count} can't be taken at once: {why}"
    do = "Take {most} or fewer."
    field = "count"


class NoneOfThem(Refusal):
    says = "Nothing of {run} is to be {done} now."
    do = "Look at the run again: {next}"


class NothingToPull(Refusal):
    says = "Nothing of {run} is left to make."
    do = "Look at the list of what is to be made again."

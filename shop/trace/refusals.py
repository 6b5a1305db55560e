"""Why a code leads nowhere."""

from shop.core.refusals import Doubt, Refusal


class CodeMistyped(Refusal):
    says = "{why}"
    do = "If it can't be read, find the thing by its number in its list."


class CodeUnknown(Refusal):
    says = "{code} is nothing in this workshop's book."
    do = "If the label is from another workshop, it can't be looked up here. Otherwise find it by its number."


class NothingByThatName(Refusal):
    says = "No {kind} is called {text}."
    do = "Scan its label, or type its number as it stands in its list."
    field = "which"


class NothingCalledThat(Refusal):
    says = "Nothing in the book is called {text}."
    do = "Scan its label, or type its number, batch, name or reference whole, as it stands in its list."
    field = "which"


class FailedInTheFuture(Refusal):
    says = "{day} is still to come."
    do = "Type the day on which it failed, or leave it empty if nobody knows."
    field = "failed_on"


class FailedBeforeMade(Refusal):
    says = "The hose was made in {made}, after that day."
    do = "Look at the day again, and at the code on the tag: it may be another hose."
    field = "failed_on"


class TooManyPhotos(Refusal):
    says = "These are {count} photos, and {most} can be kept with one report."
    do = "Choose those that show best where it failed."
    field = "photos"


class TextTooLong(Refusal):
    says = "What was written has {length} characters, and there is room for {most}."
    do = "Say it shorter; the workshop asks if it needs more."
    field = "seen"


class NotInService(Refusal):
    says = "{assembly} has not been shipped, so by the book it can't have failed in service."
    do = "If it is out there, record first that it was shipped. If it is here, decide about it at the bench."


class FailedInService(Refusal):
    says = "{assembly} was found to have failed in service: it is not to be used, so it gets no tag."
    do = "Take it out of service, and make another one for whoever needs it."


class WhyMissing(Refusal):
    says = "Nothing says how that was found out."
    do = "Write what was looked at, by whom, and what it showed."
    field = "words"


class ModeOfNoFailure(Refusal):
    says = "Either it failed, and then somehow, or it did not."
    do = "Choose how it failed only if it did; “not known” is an answer too."
    field = "mode"


class StillOwed(Refusal):
    says = "{customer} has orders that are not done: {orders}."
    do = "Hand over or cancel what they owe first."


class StillRecalled(Refusal):
    says = "{customer} has assemblies in {recall}, which is not closed."
    do = "See the recall to its end first: without name and address nobody can be told."


class StillInService(Doubt):
    says = "Out in service with {customer}: {count}. Once erased, nobody can be told to stop using them."
    do = "Keep the entry for as long as they are in service, or say that it is meant."


class NothingChosen(Refusal):
    says = "Nothing is ticked, so nothing is erased."
    do = "Tick what is to go: whom to ask, what was seen, or the photos."
    field = "what"


class WhyErased(Refusal):
    says = "Nothing says why it is erased."
    do = "Write what wants it: who reported asked for it, or the time to keep it is over. Name nobody."
    field = "reason"


class NothingHappenedYet(Refusal):
    says = "{assembly} is only planned, or has just been begun: there is no event to tell of."
    do = "Export it once both ends are crimped."

"""Why an assembly or a recall is not what was asked for."""

from shop.core.refusals import Refusal


class IsRecalled(Refusal):
    rule = 14
    says = "{assembly} is in {recall}: it may share a weakness that is being looked for."
    do = "Keep it here and don't use it, until an inspector has found it right and recorded so in the recall."


class NobodyToRecall(Refusal):
    says = "No assembly is left to recall."
    do = "Widen the suspicion, or leave out fewer."


class RecallIsClosed(Refusal):
    says = "{recall} is closed."
    do = "Open a new recall for what was found since."


class RecalledAlready(Refusal):
    says = "All of these are in {recall} already."
    do = "Look at its members."


class NotInThatRecall(Refusal):
    says = "{recall} doesn't have {who}."
    do = "Choose among its members."


class AnswerMissing(Refusal):
    says = "Nothing was written."
    do = "Write what the customer said, and who."
    field = "answer"

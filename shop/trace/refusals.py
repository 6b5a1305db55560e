"""Why a code leads nowhere."""

from shop.core.refusals import Refusal


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

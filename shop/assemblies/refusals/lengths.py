"""Why finished lengths say nothing about the cut, or say it already."""

from shop.core.refusals import Refusal


class TooFewFinished(Refusal):
    rule = 3
    says = "{why}"
    do = "Until then it is cut by the chart as it is."


class CorrectionNotProven(Refusal):
    rule = 3
    says = "{why}"
    do = "Cut by the chart as it is, and go on measuring."


class CorrectionStandsAlready(Refusal):
    rule = 3
    says = "{hose} with {series} at both ends is cut by these figures already."
    do = "Nothing has to be done."


class NoCorrectionInForce(Refusal):
    rule = 3
    says = "{hose} with {series} at both ends is cut by the chart as it is."
    do = "There is no correction to end."

"""Why the catalogue's services say no."""

from shop.core.refusals import Refusal


class ChartIsEmpty(Refusal):
    rule = 1
    says = "Chart {chart} has no line."
    do = "Type its lines first."


class BeingTyped(Refusal):
    rule = 8
    says = "{name} has typed in chart {chart} since it was last checked."
    do = "Let {name} put it right, or check it first. What you type then is for somebody else to check."


class ChartNotChecked(Refusal):
    rule = 1
    says = "Chart {chart} has not been checked since it was last typed."
    do = "Let somebody compare each line with the maker's document and press 'checked'."


class IssueStartsEarlier(Refusal):
    rule = 1
    says = "Issue {issue} can't be in force from {day}: it would change what was prescribed then."
    do = "Let it begin today or later."
    field = "effective_from"


class AlreadyWithdrawn(Refusal):
    rule = 1
    says = "{issue} was withdrawn already."
    do = "Nothing more is to be done."


class SameLineTwice(Refusal):
    rule = 1
    says = "Two lines of chart {chart} prescribe for the same hose, series, material, die and stop: {line}."
    do = "Take one of the two off the chart."


class AnotherChartPrescribes(Refusal):
    rule = 1
    says = "{other} prescribes for the same hose, series, material, die and stop: {line}."
    do = "Take the line off one of the two charts, or withdraw that issue first."

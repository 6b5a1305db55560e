"""What a register asks about before it is written."""

from shop.core.refusals import Doubt


class UnusualValues(Doubt):
    """Values that are possible and mostly a slip: a wrong unit, a digit too many."""

    says = "Unusual: {what}."
    do = "Look at digits and units once more; if it is right, tick that it is meant."

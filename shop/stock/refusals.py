"""Why the stores' services say no."""

from shop.core.refusals import Refusal


class NotEnoughLeft(Refusal):
    rule = 10
    says = "{piece} has {left} mm left by the book; {wanted} mm are needed."
    do = "Take another piece. If there is more on it than the book says, record what you measured, then cut."


class NotHose(Refusal):
    says = "{item} is not hose and has no length."
    do = "Receive it with a number of pieces."


class NothingReceived(Refusal):
    says = "{what} is missing."
    do = "Type how much came in."

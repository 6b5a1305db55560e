"""Why the stores' services say no."""

from shop.core.refusals import Doubt, Refusal


class NotEnoughLeft(Refusal):
    rule = 10
    says = "{piece} has {left} mm left by the book; {wanted} mm are needed."
    do = "Take another piece. If there is more on it than the book says, record what you measured, then cut."


class LotCondemned(Refusal):
    rule = 4
    says = "{lot} is condemned: nothing is made from it any more."
    do = "Put it aside and take another lot."


class CondemnedAlready(Refusal):
    says = "{lot} is condemned already."
    do = "Look at its page: it says by whom and why."


class WhyCondemned(Refusal):
    says = "Nobody will know later what was wrong with this lot."
    do = "Say what was found."
    field = "reason"


class NotHose(Refusal):
    says = "{item} is not hose and has no length."
    do = "Receive it with a number of pieces."


class NothingReceived(Refusal):
    says = "{what} is missing."
    do = "Type how much came in."


class UndatedHose(Doubt):
    rule = 10
    says = "This hose has no date of manufacture, so nobody can tell its age."
    do = (
        "Look on its layline and on the reel. If there is none, say so and receive it; "
        "the policy says whether undated hose may be cut."
    )
    field = "made_printed"


class OutsideEdition(Refusal):
    rule = 2
    says = "{hose} is built to {standard}; hose made in {year} is not. {held}"
    do = "Look again at layline and date. If both are right, write it as a hose of its own edition first."
    field = "made_printed"


class MayBeOlderEdition(Doubt):
    rule = 2
    says = "{hose} is built to {standard}, and without a date nobody can tell that this batch is. {lower}"
    do = "If it may be older, write it as a hose of that edition and receive it as that one."
    field = "made_printed"


class MadeInTheFuture(Refusal):
    says = "{printed} has not come yet."
    do = "Look again when it was made: it may be read the other way round."
    field = "made_printed"


class CountFarOff(Doubt):
    """Rule 9. More than a metre and a fifth of the book: common practice, no source."""

    rule = 9
    says = "{measured} mm is far from the {left} mm that are left by the book."
    do = "Look again at the figure and its unit, and that it is this piece. Then say that it is so."
    field = "measured"

"""Why the tools' services say no."""

from shop.core.refusals import Doubt, Refusal


class CalibrationNotDoneYet(Refusal):
    rule = 5
    says = "{day} has not come yet, and a calibration is recorded once it is done."
    do = "Type the day on which it was done."
    field = "done_on"


class BlockedAlready(Refusal):
    rule = 4
    says = "{tool} is out of use already: {reason}."
    do = "If there is more to say, change its entry."
    field = "what"


class NotAPhoto(Refusal):
    says = "That file is not a photo that can be read."
    do = "Take it again as JPEG or PNG, or leave it out."
    field = "photo"


class PhotoDamaged(Refusal):
    rule = 12
    says = "The photo {sha256} that was kept is gone or was changed."
    do = "Put the file back from a backup. The record says what its bytes have to be."


class CheckPieceBlocked(Refusal):
    rule = 5
    says = "{piece} is not to be used: {reason}."
    do = "Take another check piece."
    field = "piece"


class NoPermittedError(Refusal):
    rule = 5
    says = "Nobody has written down by how much {gauge} may be wrong."
    do = "Type its permitted error first, from its maker or its standard."


class CheckPieceTooCoarse(Refusal):
    rule = 5
    says = "{piece} is uncertain by {uncertainty} mm, too much for one that may be wrong by {permitted} mm."
    do = "Take a piece whose uncertainty is a third of that or less."
    field = "piece"


class FarFromCheckPiece(Doubt):
    rule = 9
    says = "{reading} mm was read on {piece}, which is {nominal} mm."
    do = "Look again at the figure, its unit and the number on the piece; tick it only if the gauge reads so."
    field = "reading"

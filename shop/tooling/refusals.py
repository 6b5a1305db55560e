"""Why the tools' services say no."""

from shop.core.refusals import Refusal


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
    says = "The photo {sha256} that was kept with this check is gone or was changed."
    do = "Put the file back from a backup. The record says what its bytes have to be."

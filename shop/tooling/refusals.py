"""Why the tools' services say no."""

from shop.core.refusals import Refusal


class CalibrationNotDoneYet(Refusal):
    rule = 5
    says = "{day} has not come yet, and a calibration is recorded once it is done."
    do = "Type the day on which it was done."
    field = "done_on"

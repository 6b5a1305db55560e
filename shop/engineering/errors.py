"""What the calculations refuse. Each message is one sentence, or two, for the person who typed it."""


class EngineeringError(ValueError):
    """A value that a calculation can't take; nothing was calculated.

    `argument` names the quantity in words, `unit` the unit it is counted in, `allowed` what would have
    been taken and `got` what came, all as text that can be shown. A part that doesn't apply is empty.
    """

    def __init__(
        self, sentence: str, *, argument: str = "", unit: str = "", allowed: str = "", got: object = ""
    ) -> None:
        super().__init__(sentence)
        self.argument = argument
        self.unit = unit
        self.allowed = allowed
        self.got = str(got)


class NotANumber(EngineeringError):
    """Not a finite number."""


class OutOfRange(EngineeringError):
    """A number, but not one that this quantity can have."""


class OffTheTable(EngineeringError):
    """The published table has no row for it, and a table is never extended by guessing."""


class NotUnderstood(EngineeringError):
    """Text that can't be read, or that can be read in two ways; `allowed` shows the forms that can."""

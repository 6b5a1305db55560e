"""Why the tables' services say no."""

from shop.core.refusals import Refusal


class NothingToConfirm(Refusal):
    rule = 2
    says = "{part} has no rating in the table."
    do = "Type the rating that its document prints first, then confirm it."


class ConfirmedAsItIs(Refusal):
    rule = 2
    says = "{part} was confirmed against its document as what it is, so its {columns} can't be changed."
    do = "Write another part, and have that one confirmed."


class FigureDiffers(Refusal):
    rule = 2
    says = "The document has {typed}, the table has something else for {part}."
    do = "Look again. If the document is right, correct the table's figure, then confirm it."
    field = "printed_value"


class NoSuchRow(Refusal):
    says = "There is no row “{row}” in {table}."
    do = "Choose the row on the page of its table: the tables may have been renewed meanwhile."


class NotAFigure(Refusal):
    says = "“{typed}” is no figure."
    do = "Write it like 12.7, 13/32 or 1-1/4, without the unit and without separators of thousands."


class FiguresDiffer(Refusal):
    says = "The document has {typed}; the table has something else for {row}."
    do = "Look again, at this very row. If the document is right, go by it: the row stays unconfirmed."

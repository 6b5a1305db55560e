"""A wrong lot was named for a crimp: which ones it was made of after all (rules 4, 8 and 9)."""

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.making.checks import require_fitting_lot
from shop.assemblies.making.crimping import require_ferrule
from shop.assemblies.models import Crimp, End, LotCorrection, lots_of
from shop.assemblies.occasion import in_words, occasion
from shop.assemblies.refusals import LotCameLater, LotsAreTheSame, ReasonMissing
from shop.people.models import User
from shop.people.permissions import Permission
from shop.people.refusals import NeedsSecondPerson
from shop.stock.models import Lot


def correct_lots(
    *, actor: User, crimp: Crimp, fitting_lot: Lot, ferrule_lot: Lot | None, reason: str
) -> LotCorrection:
    """Record which lots a crimp was made of; what was named first stays, and leads to it too.

    Open as long as there is a record, since it says what else shares a weakness: also after the assembly
    has left. Lots that the chart doesn't allow are refused as at the press, since then it is the crimp that
    is wrong. Raises `ReasonMissing`, `LotsAreTheSame`, `LotCameLater`, the refusal of a wrong lot, and
    `NeedsSecondPerson` if who crimped would correct it.
    """
    on = occasion(actor, None)
    on.require(Permission.DECIDE)
    assembly = crimp.assembly
    with working_on(assembly):
        if not reason.strip():
            raise ReasonMissing
        require_fitting_lot(fitting_lot, assembly, End(crimp.end))
        require_ferrule(ferrule_lot, crimp.specification)
        if (fitting_lot, ferrule_lot) == lots_of(crimp):
            raise LotsAreTheSame
        for lot in (fitting_lot, ferrule_lot):
            if lot is not None and lot.happened_at > crimp.happened_at:
                raise LotCameLater(lot=lot, when=in_words(lot.happened_at))
        independent = crimp.actor_number != on.by.number
        if not independent and on.policy.needs_second_person:
            raise NeedsSecondPerson(
                name=actor.name, did="crimped this end", act="correct which lots it was made of"
            )
        return on.write(
            verb=verbs.LOTS_CORRECTED,
            record=LotCorrection(
                crimp=crimp,
                fitting_lot=fitting_lot,
                ferrule_lot=ferrule_lot,
                independently_checked=independent,
            ),
            subject=assembly,
            private={"reason": reason.strip()},
        )

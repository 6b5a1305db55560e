"""Cutting the hose."""

from collections.abc import Sequence

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import require_chart_in_force, require_line_stands, resolved_today
from shop.assemblies.making.checks import require_piece
from shop.assemblies.models import Assembly, Cut, End
from shop.assemblies.occasion import Earlier, occasion
from shop.assemblies.points import At, Job, require_ticked
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, require_step
from shop.people.models import User
from shop.people.permissions import Permission
from shop.stock.models import MovementKind, Piece
from shop.stock.services import require_not_condemned


def cut_hose(
    *, actor: User, assembly: Assembly, piece: Piece, seen: Sequence[str], earlier: Earlier | None = None
) -> Cut:
    """Cut the assembly's hose, to the length that was confirmed, from a piece.

    `seen` are the codes of what the person ticked. Raises `NotTheNextStep`, `ChartMovedOn`, the refusals of
    `require_line_stands`, `require_not_condemned`, `require_piece` and `require_ticked`, `NotEnoughLeft`,
    and for an `earlier` cut `HappenedTooEarly`.
    """
    on = occasion(actor, earlier)
    on.require(Permission.MAKE)
    with working_on(assembly):
        require_step(assembly, Step.CUT)
        on.require_after(assembly, {f"{piece.lot} came in": piece.lot})
        now = resolved_today(assembly, on.day)
        require_chart_in_force(assembly, now, *End)
        require_line_stands(assembly, now)
        resolution = assembly.resolution
        require_not_condemned(piece.lot)
        require_piece(piece, resolution.hose, now.policy, now.day)
        ticked = require_ticked(At.CUT, Job(assembly, now.policy), seen)
        movement = on.move_piece(piece, MovementKind.CUT, -resolution.cut_length)
        cut = on.write(
            verb=verbs.CUT,
            record=Cut(assembly=assembly, movement=movement, length=resolution.cut_length, seen=ticked),
            subject=assembly,
        )
        settle(assembly)
        return cut

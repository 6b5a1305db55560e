"""Cutting the hose."""

from collections.abc import Sequence

from shop.assemblies import verbs
from shop.assemblies.acting import working_on
from shop.assemblies.as_confirmed import require_chart_in_force, require_line_stands, resolved_today
from shop.assemblies.making.checks import require_piece
from shop.assemblies.models import Assembly, Cut, End
from shop.assemblies.points import At, Job, require_ticked
from shop.assemblies.standing import settle
from shop.assemblies.steps import Step, require_step
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.stock.models import MovementKind, Piece
from shop.stock.services import move_piece


def cut_hose(*, actor: User, assembly: Assembly, piece: Piece, seen: Sequence[str]) -> Cut:
    """Cut the assembly's hose, to the length that was confirmed, from a piece.

    `seen` are the codes of what the person ticked. Raises `NotTheNextStep`, `ChartMovedOn`, the refusals of
    `require_line_stands`, `require_piece` and `require_ticked`, `NotEnoughLeft`.
    """
    require(actor, Permission.MAKE)
    with working_on(assembly):
        require_step(assembly, Step.CUT)
        now = resolved_today(assembly)
        require_chart_in_force(assembly, now, *End)
        require_line_stands(assembly, now)
        resolution = assembly.resolution
        require_piece(piece, resolution.hose, now.policy, now.day)
        ticked = require_ticked(At.CUT, Job(assembly, now.policy), seen)
        movement = move_piece(
            actor=actor, piece=piece, kind=MovementKind.CUT, change_mm=-resolution.cut_length
        )
        cut = write_record(
            actor=actor,
            verb=verbs.CUT,
            record=Cut(assembly=assembly, movement=movement, length=resolution.cut_length, seen=ticked),
            subject=assembly,
        )
        settle(assembly)
        return cut

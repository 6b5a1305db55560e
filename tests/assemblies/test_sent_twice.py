"""A double tap, a resend and the back button do a step once."""

from collections.abc import Callable
from uuid import UUID, uuid4

import pytest
from django.db import IntegrityError, transaction

from shop.assemblies.acting import working_on
from shop.assemblies.models import Assembly, Crimp, Cut, Submission
from shop.assemblies.refusals import AlreadyDone, NotTheNextStep, SentDifferently, WrongHose
from shop.assemblies.submissions import once
from shop.orders.models import Customer
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose
from tests import factories
from tests.assemblies import bench
from tests.world import World

pytestmark = pytest.mark.django_db


def send_cut(world: World, assembly: Assembly, nonce: UUID, **changes: object) -> bool:
    """What the page for cutting does with the form."""
    piece = changes.pop("piece", world.reel)
    assert isinstance(piece, Piece)
    sent = {
        "actor": world.bench,
        "step": "cut",
        "subject": str(assembly.pk),
        "payload": {"piece": piece.code, "seen": ["square"]},
    }
    with transaction.atomic():
        first = once(nonce=nonce, **(sent | changes))  # type: ignore[arg-type]  # as the page
        if first:
            bench.cut(world, assembly, piece=piece)
    return first


def test_the_same_form_sent_twice_is_carried_out_once(world: World) -> None:
    assembly, nonce = bench.plan(world), uuid4()
    assert send_cut(world, assembly, nonce)
    assert not send_cut(world, assembly, nonce)
    assert Cut.objects.count() == 1


@pytest.mark.parametrize(
    "changed", [{"payload": {"piece": "another"}}, {"step": "crimp"}, {"subject": "another"}], ids=str
)
def test_the_same_form_with_other_values_is_refused(world: World, changed: dict[str, object]) -> None:
    assembly, nonce = bench.plan(world), uuid4()
    send_cut(world, assembly, nonce)
    with pytest.raises(SentDifferently):
        send_cut(world, assembly, nonce, **changed)


def test_the_form_of_somebody_else_is_refused(world: World) -> None:
    assembly, nonce = bench.plan(world), uuid4()
    send_cut(world, assembly, nonce)
    with pytest.raises(SentDifferently):
        send_cut(world, assembly, nonce, actor=world.owner)


def test_a_form_that_was_refused_may_be_sent_again_corrected(world: World) -> None:
    assembly, nonce = bench.plan(world), uuid4()
    [wrong] = receive_hose(
        actor=world.bench,
        lot=Lot(hose=factories.HoseFactory(), made_printed=world.reel.lot.made_printed),
        lengths_mm=[world.reel.length_left],
    )
    with pytest.raises(WrongHose):
        send_cut(world, assembly, nonce, piece=wrong)
    assert not Submission.objects.exists()
    assert send_cut(world, assembly, nonce)


def test_a_second_form_for_the_same_step_meets_the_step_that_is_next(world: World) -> None:
    assembly = bench.plan(world)
    send_cut(world, assembly, uuid4())
    with pytest.raises(NotTheNextStep):
        send_cut(world, assembly, uuid4())


def test_a_step_recorded_meanwhile_reaches_the_person_as_a_sentence(world: World) -> None:
    assembly, crimp = bench.crimped(world)
    with pytest.raises(AlreadyDone) as refused, working_on(assembly):
        Crimp.objects.bulk_create([Crimp(**same_as(crimp))])
    assert refused.value.what == f"Somebody has done this to {assembly} just now."
    assert Crimp.objects.count() == 1


@pytest.mark.parametrize(
    "fault",
    [
        lambda world, crimp: Crimp.objects.filter(pk=crimp.pk).update(attempt=2),
        lambda world, crimp: Assembly.objects.filter(pk=crimp.assembly_id).update(state="tagged"),
        lambda world, crimp: Customer.objects.create(number=world.customer.number, name="Twin"),
    ],
)
def test_another_fault_of_the_program_is_not_said_to_be_somebody_elses_doing(
    world: World, fault: Callable[[World, Crimp], object]
) -> None:
    assembly, crimp = bench.crimped(world, ["24.5"] * 4)
    with pytest.raises(IntegrityError), working_on(assembly):
        fault(world, crimp)


def same_as(crimp: Crimp) -> dict[str, object]:
    """The columns of a crimp of the same end and attempt, tied to another entry."""
    columns = {name: getattr(crimp, name) for name in Crimp.FIELDS[Crimp.newest_version()]}
    return {**columns, "entry": crimp.set_up.entry}

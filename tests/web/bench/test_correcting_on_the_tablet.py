"""What was recorded wrong is corrected from the assembly's record, in the manner of the step itself."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.assemblies.models import Assembly, Crimp, Inspection, LotCorrection, Measurement, ProofTest
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from tests.assemblies import bench, proving
from tests.assemblies.bench import GOOD
from tests.web.bench.bench_pages import Tablet
from tests.world import World


class Desk(Tablet):
    """A page that corrects a record of an assembly."""

    def __init__(self, client: Client, kind: str, assembly: Assembly, pk: int) -> None:
        self.client = client
        self.page = client.get(reverse(f"web:correct_{kind}", args=[assembly.code, pk]))


def record_page(client: Client, assembly: Assembly) -> str:
    return client.get(reverse("web:assembly", args=[assembly.code])).content.decode()


def test_readings_are_corrected_and_both_are_shown(client: Client, world: World) -> None:
    assembly, crimp = bench.crimped(world)
    wrong = crimp.measurements.get()
    client.force_login(world.bench)
    link = reverse("web:correct_readings", args=[assembly.code, wrong.pk])
    assert link in record_page(client, assembly)
    desk = Desk(client, "readings", assembly, wrong.pk)
    assert "Measure end A again: these readings count in place of readings 1." in desk.text
    desk.read("24.20", "24.21", "24.22", "24.21")
    assert "Corrected: end A passes." in desk.text
    page = record_page(client, assembly)
    assert "corrected by readings 2" in page
    assert "in place of readings 1" in page
    assert link not in page


def test_a_slipped_digit_in_a_correction_is_asked_about(client: Client, world: World) -> None:
    assembly, crimp = bench.crimped(world)
    client.force_login(world.bench)
    desk = Desk(client, "readings", assembly, crimp.measurements.get().pk)
    desk.read("24.20", "42.21", "24.22", "24.21")
    assert desk.page.status_code == 422
    assert 'value="42.21"' in desk.page.content.decode()
    assert Measurement.objects.count() == 1


def test_a_correction_that_is_sent_twice_is_taken_once(client: Client, world: World) -> None:
    assembly, crimp = bench.crimped(world)
    client.force_login(world.bench)
    desk = Desk(client, "readings", assembly, crimp.measurements.get().pk)
    desk.read(*GOOD)
    desk.again()
    assert "That was recorded already." in desk.text
    assert Measurement.objects.count() == 2


def test_an_inspection_is_corrected_after_scanning_the_tape(client: Client, world: World) -> None:
    assembly = bench.made(world)
    first = bench.look_over(world, assembly)
    client.force_login(world.inspector)
    desk = Desk(client, "inspection", assembly, first.pk)
    desk.scan(world.tape.code)
    desk.send(take="1", finished_length="931", seen=desk.form.boxes["seen"], faults="")
    assert "Corrected: right." in desk.text
    assert Inspection.objects.get(number=2).corrects == first
    assert "Inspection 2, in place of inspection 1" in desk.text


def test_a_proof_test_is_corrected_by_another_one(client: Client, world: World) -> None:
    assembly = proving.ready_to_test(world)
    first = proving.prove(world, assembly)
    client.force_login(world.bench)
    desk = Desk(client, "test", assembly, first.pk)
    desk.scan(first.gauge.code)
    desk.send(
        take="1",
        fluid="oil",
        adaptors="700 bar",
        ready=list(desk.form.boxes["ready"]),
        raised_in_s="10",
        peak="560 bar",
        held_s="32",
        seen=list(desk.form.boxes["seen"]),
    )
    assert "Corrected: it stood its proof test." in desk.text
    assert ProofTest.objects.get(number=2).corrects == first
    assert "Proof test 2, in place of proof test 1" in desk.text


@pytest.fixture
def other_lot(world: World) -> Lot:
    return receive_lot(actor=world.bench, lot=Lot(fitting=world.fitting, batch="F-9", quantity=10))


@pytest.fixture
def crimp(world: World, other_lot: Lot) -> Crimp:
    return bench.crimped(world)[1]


def test_the_lots_of_a_crimp_are_corrected_by_scanning_the_bins(
    client: Client, world: World, crimp: Crimp, other_lot: Lot
) -> None:
    client.force_login(world.inspector)
    desk = Desk(client, "lots", crimp.assembly, crimp.pk)
    desk.scan(other_lot.code, world.ferrule_lot.code)
    desk.send(take="1", reason="the other bin was empty")
    assert LotCorrection.objects.get().fitting_lot == other_lot
    page = record_page(client, crimp.assembly)
    assert "the other bin was empty" in page
    assert str(world.fitting_lot) in page
    lots_page = client.get(reverse("web:lots_item", args=[other_lot.pk])).content.decode()
    assert f'/assembly/{crimp.assembly.code}/"' in lots_page


def test_a_bin_of_other_fittings_is_refused_as_it_is_scanned(
    client: Client, world: World, crimp: Crimp
) -> None:
    client.force_login(world.inspector)
    desk = Desk(client, "lots", crimp.assembly, crimp.pk)
    desk.scan(world.elbow_lot.code)
    assert desk.page.status_code == 422


def test_who_may_not_correct_sees_no_way_to_it(client: Client, world: World) -> None:
    assembly, crimp = bench.crimped(world)
    client.force_login(world.auditor)
    assert "Correct" not in record_page(client, assembly)
    address = reverse("web:correct_readings", args=[assembly.code, crimp.measurements.get().pk])
    assert client.get(address).status_code == 403

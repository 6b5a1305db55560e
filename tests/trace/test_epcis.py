"""Events of an assembly as EPCIS 2.0.

The official schema was not at hand: what is asked of a document here is from memory of the standard
(EPCIS 2.0 and CBV 2.0, GS1, 2022).
"""

import re
from typing import Any

import pytest

from shop.assemblies.making import correct_lots
from shop.assemblies.models import Assembly
from shop.assemblies.release import retire
from shop.policy.services import save_workshop
from shop.stock.models import Lot
from shop.stock.services import receive_lot
from shop.trace.epcis import epcis_document
from shop.trace.refusals import NothingHappenedYet
from tests.assemblies import bench, proving
from tests.assemblies.test_recalls import recall
from tests.world import World

BASE = "https://hose.example"
TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d+Z")
OFFSET = re.compile(r"[+-]\d\d:\d\d")
URI = re.compile(r"https://[a-z0-9.-]+/[A-Za-z0-9/._-]+")
# From memory: those words of CBV 2.0 that are used.
STEPS = {"assembling", "commissioning", "decommissioning", "inspecting", "shipping"}
DISPOSITIONS = {
    "active",
    "conformant",
    "in_progress",
    "in_transit",
    "inactive",
    "non_conformant",
    "recalled",
}
ALWAYS = {"type", "eventID", "eventTime", "eventTimeZoneOffset", "recordTime"}
MAY = {"bizStep", "disposition", "readPoint", "bizLocation", "bizTransactionList"}
OWN = {
    "ObjectEvent": {"epcList", "action"},
    "TransformationEvent": {"inputQuantityList", "outputEPCList"},
}


def check(document: dict[str, Any]) -> list[dict[str, Any]]:
    """The events of a document that has the form of the standard."""
    assert set(document) == {"@context", "type", "schemaVersion", "creationDate", "epcisBody"}
    assert document["@context"] == ["https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld"]
    assert (document["type"], document["schemaVersion"]) == ("EPCISDocument", "2.0")
    assert TIME.fullmatch(document["creationDate"])
    events: list[dict[str, Any]] = document["epcisBody"]["eventList"]
    for event in events:
        must = ALWAYS | OWN[event["type"]]
        assert must <= set(event) <= must | MAY
        assert TIME.fullmatch(event["eventTime"])
        assert TIME.fullmatch(event["recordTime"])
        assert OFFSET.fullmatch(event["eventTimeZoneOffset"])
        assert event.get("bizStep", "inspecting") in STEPS
        assert event["disposition"] in DISPOSITIONS
        assert event.get("action", "ADD") in {"ADD", "OBSERVE", "DELETE"}
        named = [event["eventID"], event["readPoint"]["id"]]
        named += [*event.get("epcList", []), *event.get("outputEPCList", [])]
        named += [part["epcClass"] for part in event.get("inputQuantityList", [])]
        assert all(URI.fullmatch(uri) for uri in named)
    assert len({event["eventID"] for event in events}) == len(events)
    return events


def steps(events: list[dict[str, Any]]) -> list[str]:
    return [event.get("bizStep", event["disposition"]) for event in events]


@pytest.fixture
def shipped(world: World) -> Assembly:
    world.workshop.base_address, world.workshop.zone = "HTTPS://HOSE.EXAMPLE", "Europe/Oslo"
    save_workshop(actor=world.owner, workshop=world.workshop)
    return bench.shipped(world)


def test_the_road_is_told_in_its_order(shipped: Assembly) -> None:
    events = check(epcis_document(shipped))
    assert steps(events) == ["assembling", "inspecting", "commissioning", "shipping"]
    assert [event["eventTime"] for event in events] == sorted(event["eventTime"] for event in events)


def test_each_event_is_about_the_address_that_stands_on_the_tag(shipped: Assembly) -> None:
    for event in check(epcis_document(shipped)):
        assert (event.get("epcList") or event["outputEPCList"]) == [f"{BASE}/T/{shipped.code}"]


def test_it_is_made_from_its_lots_hose_in_metres_and_parts_by_number(world: World, shipped: Assembly) -> None:
    made = check(epcis_document(shipped))[0]
    hose, *parts = made["inputQuantityList"]
    cut = shipped.cut
    assert hose == {
        "epcClass": f"{BASE}/id/lot/{world.reel.lot.code}",
        "quantity": float(cut.length) / 1000,
        "uom": "MTR",
    }
    lots = {f"{BASE}/id/lot/{lot.code}": 2 for lot in (world.fitting_lot, world.ferrule_lot)}
    assert {part["epcClass"]: part["quantity"] for part in parts} == lots


def test_lots_that_were_corrected_are_those_that_it_is_made_from(world: World, shipped: Assembly) -> None:
    other = receive_lot(actor=world.counter, lot=Lot(fitting=world.fitting, batch="X2", quantity=5))
    assembly = bench.made(world)
    crimp = assembly.crimps.get(end="A")
    correct_lots(
        actor=world.inspector, crimp=crimp, fitting_lot=other, ferrule_lot=world.ferrule_lot, reason="bin"
    )
    parts = check(epcis_document(assembly))[0]["inputQuantityList"]
    counts = {part["epcClass"].rpartition("/")[2]: part["quantity"] for part in parts[1:]}
    assert counts == {other.code: 1, world.fitting_lot.code: 1, world.ferrule_lot.code: 2}


def test_times_are_utc_with_the_zone_beside_them(shipped: Assembly) -> None:
    for event in check(epcis_document(shipped)):
        assert event["eventTimeZoneOffset"] in ("+01:00", "+02:00")


def test_a_proof_test_a_recall_and_the_end_of_service_are_told(world: World, shipped: Assembly) -> None:
    recall(world, shipped)
    retire(actor=world.counter, assembly=shipped, reason="worn")
    events = check(epcis_document(shipped))
    assert steps(events)[-2:] == ["recalled", "decommissioning"]
    assert events[-1]["action"] == "DELETE"
    tested = proving.ready_to_test(world)
    proving.prove(world, tested)
    told = check(epcis_document(tested))
    assert steps(told) == ["assembling", "inspecting", "inspecting"]
    assert {event["disposition"] for event in told[1:]} == {"conformant"}


def test_what_was_found_not_right_says_so(world: World, shipped: Assembly) -> None:
    assembly = bench.made(world)
    bench.look_over(world, assembly, faults=["cover cut"])
    assert check(epcis_document(assembly))[-1]["disposition"] == "non_conformant"


def test_nobody_is_named(world: World, shipped: Assembly) -> None:
    text = str(epcis_document(shipped))
    for name in (world.customer.name, world.bench.name, world.inspector.name, "Wanda"):
        assert name not in text


def test_what_is_only_planned_has_no_events(world: World) -> None:
    with pytest.raises(NothingHappenedYet):
        epcis_document(bench.plan_and_cut(world))

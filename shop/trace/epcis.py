"""What happened to one assembly as an EPCIS 2.0 document, for partners who read that open standard.

EPCIS 2.0 and the words of CBV 2.0 (GS1, 2022) are from memory: neither the standard nor its schema was at
hand. Things are named by addresses of the workshop's own, since it has no company prefix. No customer and no
person is named.
"""

import datetime
from collections import Counter
from collections.abc import Iterator
from typing import Any

from django.utils import timezone

from shop.assemblies.models import Assembly, Crimp, ProofOutcome
from shop.assemblies.release.tagging import tag_address
from shop.ledger.canonical import instant
from shop.policy.models import Workshop
from shop.policy.services import get_workshop
from shop.stock.models import Lot
from shop.trace.dossier import AssemblyRecord, MadeCrimp, record_of
from shop.trace.refusals import NothingHappenedYet
from shop.trace.story import Told

CONTEXT = "https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld"
METRE = "MTR"  # UN/CEFACT Recommendation 20

Event = dict[str, Any]


def epcis_document(assembly: Assembly) -> dict[str, Any]:
    """The events so far, in the order in which they happened. Raises `NothingHappenedYet`."""
    events = _Events(record_of(assembly), get_workshop()).all()
    if not events:
        raise NothingHappenedYet(assembly=assembly)
    return {
        "@context": [CONTEXT],
        "type": "EPCISDocument",
        "schemaVersion": "2.0",
        "creationDate": instant(timezone.now()),
        "epcisBody": {"eventList": events},
    }


class _Events:
    """The events of one record."""

    def __init__(self, record: AssemblyRecord, workshop: Workshop) -> None:
        self._record, self._zone = record, workshop.zone_info
        scheme, _, rest = tag_address(record.assembly, workshop).partition("://")
        host, _, path = rest.partition("/")
        self._base = f"{scheme.lower()}://{host.lower()}"
        self._epc = f"{self._base}/{path}"
        self._place = {"id": f"{self._base}/id/place/workshop"}
        self._order = f"{self._base}/id/order/{record.assembly.run.line.order.number}"

    def all(self) -> list[Event]:
        kinds = (self._assembled(), self._inspected(), self._tested(), self._out(), self._recalled())
        return sorted((event for kind in kinds for event in kind), key=lambda event: event["eventTime"])

    def _assembled(self) -> Iterator[Event]:
        """Made from its lots, once both ends have been crimped: at the later of the newest crimps."""
        newest = [end.crimps[-1] for end in self._record.ends if end.crimps]
        if self._record.cut is None or len(newest) < len(self._record.ends):
            return
        pieces: Counter[Lot] = Counter(lot for made in newest for lot in _lots_of(made))
        cut = self._record.cut.record
        hose = {
            "epcClass": self._lot(cut.movement.piece.lot),
            "quantity": float(cut.length / 1000),
            "uom": METRE,
        }
        parts = [{"epcClass": self._lot(lot), "quantity": count} for lot, count in pieces.items()]
        last = max((made.written.told for made in newest), key=lambda told: told.happened_at)
        yield {
            **self._event("TransformationEvent", last),
            "inputQuantityList": [hose, *sorted(parts, key=lambda part: str(part["epcClass"]))],
            "outputEPCList": [self._epc],
            "bizStep": "assembling",
            "disposition": "in_progress",
            "readPoint": self._place,
            "bizLocation": self._place,
            "bizTransactionList": [{"type": "prodorder", "bizTransaction": self._order}],
        }

    def _inspected(self) -> Iterator[Event]:
        corrected = {written.record.corrects_id for written in self._record.inspections}
        for written in self._record.inspections:
            if written.record.pk not in corrected:
                yield self._looked_at(written.told, written.record.passed)

    def _tested(self) -> Iterator[Event]:
        corrected = {written.record.corrects_id for written in self._record.proof_tests}
        for written in self._record.proof_tests:
            if written.record.pk not in corrected:
                yield self._looked_at(written.told, written.record.outcome == ProofOutcome.PASSED)

    def _out(self) -> Iterator[Event]:
        """Its code on the hose, its way to the customer, and the end of its service."""
        if self._record.tags:
            told = self._record.tags[0].told
            yield self._object(told, "ADD", "commissioning", "active", here=True)
        if self._record.shipment is not None:
            yield self._object(self._record.shipment.told, "OBSERVE", "shipping", "in_transit")
        if self._record.retirement is not None:
            yield self._object(self._record.retirement.told, "DELETE", "decommissioning", "inactive")

    def _recalled(self) -> Iterator[Event]:
        for recalled in self._record.recalls:
            yield self._object(recalled.written.told, "OBSERVE", "", "recalled")

    def _looked_at(self, told: Told, is_right: bool) -> Event:
        return self._object(
            told, "OBSERVE", "inspecting", "conformant" if is_right else "non_conformant", here=True
        )

    def _object(self, told: Told, action: str, step: str, disposition: str, *, here: bool = False) -> Event:
        """`here` if it is in the workshop afterwards."""
        event = {**self._event("ObjectEvent", told), "epcList": [self._epc], "action": action}
        event |= {"bizStep": step} if step else {}
        event |= {"disposition": disposition, "readPoint": self._place}
        return event | ({"bizLocation": self._place} if here else {})

    def _event(self, kind: str, told: Told) -> Event:
        return {
            "type": kind,
            "eventID": f"{self._base}/id/entry/{told.entry.chain.site}-{told.entry.number}",
            "eventTime": instant(told.happened_at),
            "eventTimeZoneOffset": _offset(told.happened_at.astimezone(self._zone)),
            "recordTime": instant(told.recorded_at),
        }

    def _lot(self, lot: Lot) -> str:
        return f"{self._base}/id/lot/{lot.code}"


def _lots_of(made: MadeCrimp) -> list[Lot]:
    """The lots that the crimp was made of, as they were last corrected."""
    crimp: Crimp = made.written.record
    named = made.lot_corrections[-1][0].record if made.lot_corrections else crimp
    return [lot for lot in (named.fitting_lot, named.ferrule_lot) if lot is not None]


def _offset(moment: datetime.datetime) -> str:
    """The zone's distance from UTC at that moment: `+02:00`."""
    text = f"{moment:%z}"
    return f"{text[:3]}:{text[3:5]}"

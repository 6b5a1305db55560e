"""Each address as each role and as nobody: who may not, is told so; who may, gets an answer."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import models, transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from shop.assemblies.models import Assembly
from shop.assemblies.wear import record_tool_check
from shop.authority.models import Authority
from shop.authority.services import save_authority
from shop.ledger.services import seal_ledger
from shop.orders.worksheets import attach_worksheet
from shop.people.permissions import ALLOWED, Permission, Role
from shop.policy.services import today
from shop.trace.failures import WhatFailed, report_failure
from shop.trace.models import Hurt
from tests import factories
from tests.assemblies import proving
from tests.assemblies.bench import made, released
from tests.assemblies.test_recalls import recall
from tests.tooling.photos import a_photo
from tests.world import World


@dataclass(frozen=True)
class Address:
    """One line of a urls.py."""

    name: str
    arguments: frozenset[str]
    view: Callable[..., HttpResponse]


def _walk(resolver: URLResolver) -> Iterator[Address]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLPattern):
            yield Address(pattern.name or "", frozenset(pattern.pattern.converters), pattern.callback)
        else:
            yield from _walk(pattern)


ADDRESSES = list(_walk(get_resolver()))
NAMED = [address for address in ADDRESSES if address.name]
OPEN = {"change_person", "failed", "failed_receipt", "sign_in", "sign_out", "first_page", "tag", ""}


@pytest.mark.parametrize("address", ADDRESSES, ids=lambda address: address.name or "variant of a tag")
def test_the_view_says_who_may_see_it(address: Address) -> None:
    permission = getattr(address.view, "permission", "nothing")
    assert permission is None if address.name in OPEN else isinstance(permission, Permission)


@dataclass
class Places:
    """Something behind each address: by the beginning of its name, the longest that fits."""

    world: World
    assembly: Assembly
    finished: Assembly

    def row(self, name: str) -> models.Model:
        world = self.world
        rows: dict[str, models.Model] = {
            "arrangements": world.arrangement,
            "authorities": self.authority,
            "bench_run": self.assembly.run,
            "correct_inspection": self.finished.inspections.get(),
            "correct_lots": self.finished.crimps.all()[0],
            "correct_readings": self.finished.crimps.all()[0].measurements.get(),
            "correct_test": self.proof_test,
            "job_card": self.assembly.run,
            "attached_worksheet": self.worksheet,
            "chart": world.chart,
            "chart_line_change": world.chart.lines.get(),
            "chart_line_remove": world.chart.lines.get(),
            "chart_withdraw": world.chart_issue,
            "check_pieces": self.piece,
            "connections": world.fitting.connection,
            "crimpers": world.crimper,
            "customers": world.customer,
            "die_sets": world.die_set,
            "die_types": world.die_type,
            "ferrules": world.ferrule,
            "fittings": world.fitting,
            "fluids": world.fluid,
            "gauges": self.other_caliper,
            "genealogy_from": world.fitting_lot,
            "hose_ratings": self.rating,
            "hoses": world.hose,
            "issued_chart": world.chart_issue,
            "issued_line": world.chart_issue.specifications.get(),
            "ledger_seal": self.ledger_seal,
            "looked_up": world.fitting_lot,
            "lots": world.fitting_lot,
            "people": world.bench,
            "piece": world.reel,
            "pieces": world.reel,
            "pressure_gauges": self.pressure_gauge,
            "seals": self.seal,
            "series": world.series,
            "stop_parts": world.stop_part,
            "stop_types": world.stop_type,
            "tool_photo": self.tool_check,
        }
        return rows[max((start for start in rows if name.startswith(start)), key=len)]

    def arguments(self, address: Address) -> dict[str, Any]:
        values: dict[str, Callable[[], Any]] = {
            "pk": lambda: self.row(address.name).pk,
            "code": lambda: self._code(address.name),
            "hose": lambda: self.world.hose.pk,
            "series": lambda: self.world.series.pk,
            "position": lambda: self.assembly.run.line.position,
            "table": lambda: "sizes",
            "number": lambda: 1,
            "reference": lambda: self.report.code,
            "customer": lambda: self.world.customer.pk,
            "end": lambda: "A",
            "fault": lambda: self.faults[address.name].pk,
            "kind": lambda: "lot",
            "link": lambda: "fitting_lot",
        }
        return {name: values[name]() for name in address.arguments}

    def _code(self, name: str) -> str:
        if name.startswith(("order", "line")):
            return self.world.order.code
        if name == "correct_test":
            return self.proof_test.assembly.code
        if name.startswith("failure"):
            return self.report.code
        return self.assembly.code if name.startswith("bench") else self.finished.code

    def __post_init__(self) -> None:
        self.rating = factories.HoseRatingFactory()
        self.worksheet = attach_worksheet(
            actor=self.world.counter,
            line=self.world.written_line(),
            worksheet="length",
            typed=[("known", "cut"), ("cut", "880")],
            says="Overall 930 mm.",
        )
        self.tool_check = record_tool_check(
            actor=self.world.bench, tool=self.world.die_set, passed=True, condition="clean", photo=a_photo()
        )
        self.report = report_failure(
            actor=None, assembly=self.finished, told=WhatFailed(hurt=Hurt.NO, photos=[a_photo()])
        )
        self.recall = recall(self.world, self.finished)
        self.piece = factories.CheckPieceFactory()
        self.seal = factories.SealFactory()
        (self.ledger_seal,) = seal_ledger(actor=self.world.auditor)
        self.other_caliper = factories.GaugeFactory()
        self.pressure_gauge = factories.PressureGaugeFactory()
        self.faults = {
            "gauges_recall": self.world.calibrate(self.other_caliper, passed=False),
            "pressure_gauges_recall": proving.calibrate(self.world, self.pressure_gauge, passed=False),
        }
        self.proof_test = proving.prove(self.world, proving.ready_to_test(self.world))
        self.authority = save_authority(
            actor=self.world.owner,
            authority=Authority(person=self.world.auditor, step="crimp", valid_from=today()),
        )


@pytest.fixture
def places(world: World) -> Places:
    return Places(world, made(world), released(world))


def _ask(client: Client, address: Address, places: Places) -> HttpResponse:
    """Look at the page, or send it an empty form; whatever that does is undone."""
    url = reverse(f"web:{address.name}", kwargs=places.arguments(address))
    with transaction.atomic():
        answer = client.get(url)
        if answer.status_code == 405:
            answer = client.post(url, {})
        if answer.streaming:
            b"".join(answer)  # a file that nobody reads would stay open
        transaction.set_rollback(True)
    return answer


def test_nobody_gets_in_without_signing_in(places: Places, client: Client) -> None:
    let_in = {
        address.name
        for address in NAMED
        if not _ask(client, address, places).headers.get("Location", "").startswith("/sign-in/")
    }
    # Signing out leads to the door, which is where nobody is sent to as well.
    assert let_in == OPEN - {"", "sign_out"} - {"first_page"}


@pytest.mark.parametrize("role", Role)
def test_a_role_sees_what_it_may_and_is_told_whom_to_ask_for_the_rest(
    places: Places, client: Client, role: Role
) -> None:
    person = next(
        p
        for p in (
            places.world.owner,
            places.world.counter,
            places.world.bench,
            places.world.inspector,
            places.world.auditor,
        )
        if p.roles == [role]
    )
    wrong = []
    for address in NAMED:
        permission = getattr(address.view, "permission", None)
        client.force_login(person)
        status = _ask(client, address, places).status_code
        may = permission is None or role in ALLOWED[permission]
        if (status == 403) == may or status >= 500:
            wrong.append(f"{address.name}: {status}")
    assert wrong == []

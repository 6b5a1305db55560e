"""What came back from the field: a hose that leaked, what was found out, and the recall of its siblings."""

from decimal import Decimal

from shop.assemblies.models import FindingKind, State
from shop.assemblies.recalls import answer_recall, record_finding
from shop.demo.work import Demo
from shop.orders.models import Customer
from shop.policy.services import today
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.models import FailureMode, Hurt, Verdict
from shop.trace.recalling import recall_suspected
from shop.trace.suspicion import Suspicion

HOURS = 41


def fail_in_the_field(demo: Demo) -> None:
    """Four of a kind go out; two are said to have failed, one is looked into, and all are recalled."""
    quarry = Customer.objects.get(number="K3")
    parts, cast = demo.parts, demo.cast
    line = demo.line(
        demo.order(quarry, "feed pump", 3), hose=parts.cascade, fitting_a=parts.straight,
        fitting_b=parts.straight, overall_length=Decimal(860), overall_typed="860", pressure_typed="250",
        quantity=4,
    )  # fmt: skip
    leaked, _, found, _ = pieces = [demo.make(piece, until=State.SHIPPED) for piece in demo.start(line)]
    report = report_failure(
        actor=None,
        assembly=leaked,
        told=WhatFailed(
            hurt=Hurt.NO,
            mode=FailureMode.LEAK_AT_FERRULE,
            failed_on=today(),
            hours_in_service=HOURS,
            seen="Oil at the lower ferrule, a drop every few seconds. The pump was stopped at once.",
            contact="the fitter on the early shift",
        ),
    )
    judge_report(
        actor=cast.inspector,
        report=report,
        verdict=Verdict.FAILED,
        mode=FailureMode.LEAK_AT_FERRULE,
        words="Cut open: the hose sat 6 mm short of the bottom of the fitting.",
    )
    recall = recall_suspected(
        actor=cast.inspector,
        suspicion=Suspicion(things={"run": (leaked.run_id,)}),
        reason="One leaked since the hose was not pushed in to its mark; the others were made beside it.",
    )
    record_finding(
        actor=cast.counter, recall=recall, assemblies=[found], kind=FindingKind.ISOLATED, words="in our rack"
    )
    answer_recall(actor=cast.counter, recall=recall, customer=quarry, answer="One is off, two at the quarry.")
    report_failure(
        actor=cast.counter,
        assembly=pieces[1],
        told=WhatFailed(hurt=Hurt.NO, seen="Told by telephone: wet beside the pump, not looked at yet."),
    )

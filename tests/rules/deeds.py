"""What people do in a small workshop where it takes more than a line; each leaves something in the ledger."""

import datetime
from decimal import Decimal
from typing import Any

from django.utils import timezone

from shop.assemblies.inspection import concede
from shop.assemblies.job_card import EndOnCard, ReadOnCard, enter_end
from shop.assemblies.lengths import adopt_cut_correction, end_cut_correction
from shop.assemblies.making import correct_lots, correct_measurement, decide, refit_end
from shop.assemblies.models import Assembly, Cause, DecisionKind, End, FindingKind, Recall
from shop.assemblies.occasion import Earlier
from shop.assemblies.planning import resolve_again
from shop.assemblies.points import At
from shop.assemblies.pulling import pull_run, put_run_back
from shop.assemblies.recalls import add_to_recall, answer_recall, close_recall, record_finding
from shop.assemblies.runs import crimp_pieces, cut_pieces, inspect_pieces, prove_pieces
from shop.catalogue import services as catalogue
from shop.catalogue.models import Governs
from shop.ledger.models import KeyReason
from shop.ledger.services import erase_private, replace_key, seal_ledger
from shop.orders import services as orders
from shop.orders.models import Customer
from shop.orders.worksheets import attach_worksheet
from shop.people import services as people
from shop.people.models import User
from shop.policy import services as policy
from shop.standards import services as standards
from shop.standards.figures import confirm_figures, printed_rows
from shop.stock import services as stock
from shop.stock.models import Lot
from shop.tooling import services as tooling
from shop.tooling.models import Calibration
from shop.trace.erasing import erase_customer, erase_from_report, erase_person
from shop.trace.failures import WhatFailed, judge_report, report_failure
from shop.trace.made_with import span_before_fault
from shop.trace.models import FailureFinding, FailureMode, FailureReport, Hurt, OfReporter, Verdict
from shop.trace.recalling import recall_doubtful, recall_found_since, recall_suspected
from shop.trace.suspicion import Suspicion
from shop.trace.weighing import weigh
from tests import factories
from tests.assemblies import bench, proving
from tests.assemblies.test_recalls import recall
from tests.world import World


def changed(row: Any, **values: Any) -> Any:
    for name, value in values.items():
        setattr(row, name, value)
    return row


def end_from_card(w: World) -> Any:
    assembly = bench.plan_and_cut(w)
    card = EndOnCard(
        end=End.A,
        crimper=w.crimper,
        die_set=w.die_set,
        stop_part=w.stop_part,
        stop_setting="",
        gauge=w.caliper,
        fitting_lot=w.fitting_lot,
        ferrule_lot=w.ferrule_lot,
        seen=bench.TICKED[At.CRIMP],
        readings={assembly: ReadOnCard(bench.mm(*bench.GOOD))},
    )
    told = Earlier(w.bench, timezone.now())
    return enter_end(actor=w.inspector, pieces=[assembly], card=card, earlier=told)


def scrapped(w: World) -> Any:
    assembly, _ = bench.crimped(w, ("24.5", "24.5", "24.5", "24.5"))
    decide(actor=w.bench, assembly=assembly, kind=DecisionKind.SCRAP, reason="too large")
    return assembly


def refitted(w: World) -> Any:
    assembly, _ = bench.crimped(
        w, ("23.9", "23.9", "23.9", "23.9"), overall_length=Decimal(8000), overall_typed="8 m"
    )
    return refit_end(actor=w.inspector, assembly=assembly, cut_off_mm=Decimal(30), cause=Cause.SET_UP)


def conceded(w: World) -> Any:
    assembly = bench.made(w)
    bench.look_over(w, assembly, finished_length_mm=Decimal(950))
    return concede(
        actor=w.owner, assembly=assembly, agreed_by="the foreman", paper="letter", reason="it is clamped"
    )


def resolved_again(w: World) -> Any:
    line = bench.plan(w).run.line
    bench.reissue(w, "2", target=Decimal("24.1"))
    return resolve_again(actor=w.counter, line=line)


def correct(w: World) -> Any:
    _, crimp = bench.crimped(w)
    readings = bench.mm("24.20", "24.20", "24.20", "24.21")
    return correct_measurement(actor=w.inspector, measurement=crimp.measurements.get(), readings_mm=readings)


def inspection_corrected(w: World) -> Any:
    assembly = inspected(w)
    return bench.look_anew(w, assembly.inspections.get())


def proof_corrected(w: World) -> Any:
    assembly = proving.ready_to_test(w)
    test = proving.prove(w, assembly)
    return proving.prove_anew(w, test)


def lots_corrected(w: World) -> Any:
    other = stock.receive_lot(actor=w.counter, lot=Lot(fitting=w.fitting, quantity=5))
    _, crimp = bench.crimped(w)
    return correct_lots(
        actor=w.inspector, crimp=crimp, fitting_lot=other, ferrule_lot=w.ferrule_lot, reason="the old bin"
    )


def check(w: World) -> Any:
    catalogue.save_chart(actor=w.bench, chart=w.chart)
    return catalogue.check_chart(actor=w.inspector, chart=w.chart)


def choose_rating(w: World) -> Any:
    row = factories.HoseRatingFactory(printed_value="25")
    standards.confirm_hose_rating(actor=w.inspector, rating=row, document="EN 853", figure=row.rating)
    w.hose.standard = row
    catalogue.save_hose(actor=w.counter, hose=w.hose)
    return catalogue.choose_rating(
        actor=w.owner, hose=w.hose, governs=Governs.MAKER, reason="the maker's letter"
    )


def erase(w: World) -> Any:
    customer = orders.save_customer(actor=w.counter, customer=Customer(number="K9", name="New"))
    return erase_private(actor=w.owner, subject=customer)


def key_replaced(w: World) -> Any:
    seal_ledger(actor=w.owner)
    return replace_key(actor=w.owner, reason=KeyReason.EXPOSED)


def issue(w: World) -> Any:
    catalogue.check_chart(actor=w.inspector, chart=w.chart)
    w.chart.refresh_from_db()
    return catalogue.issue_chart(actor=w.owner, chart=w.chart, issue="2", effective_from=policy.today())


def attach(w: World) -> Any:
    typed = [("known", "cut"), ("cut", "880")]
    return attach_worksheet(
        actor=w.counter, line=w.written_line(), worksheet="length", typed=typed, says="Overall 930 mm."
    )


def pieces_cut(w: World) -> Any:
    return cut_pieces(actor=w.bench, run=bench.plan(w).run, count=1, piece=w.reel, seen=bench.TICKED[At.CUT])


def pieces_crimped(w: World) -> Any:
    return crimp_pieces(
        actor=w.bench,
        run=bench.ready_to_crimp(w).run,
        end=End.A,
        count=1,
        fitting_lot=w.fitting_lot,
        ferrule_lot=w.ferrule_lot,
        seen=bench.TICKED[At.CRIMP],
    )


def put_back(w: World) -> Any:
    run = pull_run(actor=w.inspector, run=bench.plan(w).run)
    return put_run_back(actor=w.bench, run=run)


def pieces_inspected(w: World) -> Any:
    piece = bench.made(w)
    return inspect_pieces(
        actor=w.inspector,
        run=piece.run,
        measured={piece: (Decimal(932), None)},
        gauge=w.tape,
        seen=bench.EVERYTHING,
    )


def pieces_proven(w: World) -> Any:
    run = proving.ready_to_test(w).run
    gauge = proving.calibrated_gauge(w)
    return prove_pieces(actor=w.bench, run=run, count=1, gauge=gauge, observed=proving.observed())


def inspected(w: World) -> Any:
    assembly = bench.made(w)
    bench.look_over(w, assembly)
    return assembly


def figures(w: World) -> Any:
    row = printed_rows("sizes")[0]
    return confirm_figures(
        actor=w.inspector,
        table=row.table,
        row=row.row,
        document="ISO 4397:2011",
        typed={figure.name: figure.printed for figure in row.figures},
    )


def customer_erased(w: World) -> Any:
    customer = orders.save_customer(actor=w.counter, customer=Customer(number="K9", name="New"))
    return erase_customer(actor=w.owner, customer=customer)


def person_erased(w: World) -> Any:
    return erase_person(actor=w.owner, person=people.save_person(actor=w.owner, person=person()))


def person(**values: Any) -> User:
    return User(number=9, username="bo", name="Bo Aalto", roles=["bench"], **values)


def calibration(w: World) -> Calibration:
    return Calibration(
        gauge=w.caliper, done_on=policy.today(), due_on=policy.today() + datetime.timedelta(days=365),
        error_as_found=Decimal(0), error_as_left=Decimal(0), expanded_uncertainty=Decimal("0.02"),
    )  # fmt: skip


def try_gauge(w: World) -> Any:
    gauge = tooling.save_gauge(actor=w.bench, gauge=changed(w.caliper, permitted_error=Decimal("0.03")))
    piece = factories.CheckPieceFactory()
    return tooling.check_gauge(actor=w.bench, gauge=gauge, piece=piece, reading=Decimal("25.2"))


def adopted(w: World) -> Any:
    bench.finished(w)
    return adopt_cut_correction(actor=w.inspector, hose=w.hose, series=w.series)


def ended(w: World) -> Any:
    adopted(w)
    return end_cut_correction(actor=w.inspector, hose=w.hose, series=w.series)


def recalled(w: World) -> Recall:
    return recall(w, bench.plan(w))


def recalled_too(w: World) -> Any:
    made = recalled(w)
    bench.plan(w)
    return add_to_recall(actor=w.inspector, recall=made, assemblies=Assembly.objects.all())


def suspected(w: World) -> Recall:
    bench.plan(w)
    suspicion = Suspicion(things={"hose": (w.hose.pk,)})
    return recall_suspected(actor=w.inspector, suspicion=suspicion, reason="the liner swells")


def recalled_since(w: World) -> None:
    made = suspected(w)
    bench.plan(w)
    recall_found_since(actor=w.inspector, recall=made)


def answered(w: World) -> Any:
    return answer_recall(actor=w.counter, recall=recalled(w), customer=w.customer, answer="all are taken off")


def found_right(w: World) -> Any:
    made = recalled(w)
    [member] = made.memberships.all()
    return record_finding(
        actor=w.inspector,
        recall=made,
        assemblies=[member.assembly],
        kind=FindingKind.RIGHT,
        words="measured anew",
    )


def recall_closed(w: World) -> Any:
    return close_recall(actor=w.owner, recall=recalled(w), reason="all are back")


def doubted(w: World) -> Recall:
    bench.crimped(w)
    fault = w.calibrate(w.caliper, done_on=policy.today(), error_as_found=Decimal("0.3"), passed=False)
    return recall_doubtful(
        actor=w.inspector,
        gauge=w.caliper,
        span=span_before_fault(fault, w.caliper),
        weighed=weigh(w.caliper, fault),
        reason="the caliper was dropped",
    )


def reported(w: World) -> FailureReport:
    return report_failure(
        actor=w.counter,
        assembly=bench.shipped(w),
        told=WhatFailed(hurt=Hurt.NO, mode=FailureMode.BLOW_OFF, seen="end A came off", contact="the yard"),
    )


def report_judged(w: World) -> FailureFinding:
    return judge_report(
        actor=w.inspector,
        report=reported(w),
        verdict=Verdict.FAILED,
        mode=FailureMode.BLOW_OFF,
        words="the ferrule slid off the braid",
    )


def reporter_erased(w: World) -> Any:
    return erase_from_report(actor=w.owner, report=reported(w), what=[OfReporter.CONTACT], reason="asked for")

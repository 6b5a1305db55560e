"""The page of one assembly's whole record."""

from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.http import HttpResponse
from django.shortcuts import render

from shop.assemblies.inspection import CONCEDABLE
from shop.assemblies.models import Assembly, Concession, Crimp, End, Inspection, Release, State, Trouble
from shop.assemblies.models.assembly import ON_THE_ROAD
from shop.assemblies.planning import to_be_replaced
from shop.assemblies.points import At, Job, told_of
from shop.assemblies.steps import next_step
from shop.documents.services import papers_of
from shop.drawings.assembly import draw_assembly
from shop.drawings.judgement import draw_judgement
from shop.engineering.lengths import LengthUnit
from shop.orders.drawing import drawing_of_resolution
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.trace.as_of import assembly_as_of
from shop.trace.dossier import AssemblyRecord, MadeEnd, record_of
from shop.trace.story import ERASED, Written, corrected_number
from shop.web.access import StaffRequest
from shop.web.record.forms import AsOfForm, LeaveForm, PrintForm, RetireForm
from shop.web.record.proof import shown_test
from shop.web.workshop import workshop_or_default


@dataclass(frozen=True)
class Acts:
    """What this person may do with the assembly now. `accent` names the one that comes next."""

    accent: str
    print: bool
    ship: bool
    retire: bool
    report: bool
    replace: bool
    leave: bool
    evidence: bool


def record_page(
    request: StaffRequest,
    assembly: Assembly,
    *,
    asked: forms.Form | None = None,
) -> HttpResponse:
    """Draw the page; `asked` is a form that was sent and refused, which stays with what was typed."""
    record = record_of(assembly)
    prints = papers_of(assembly).count()
    print_form = asked if isinstance(asked, PrintForm) else PrintForm(initial={"prints_seen": prints})
    unit = LengthUnit(workshop_or_default().length_unit)
    job = Job(record.assembly, record.resolution.record.policy)
    as_of_form = AsOfForm(request.GET if "as_of" in request.GET else None)
    day = as_of_form.day
    context = {
        "as_of_form": as_of_form,
        "as_of": None if day is None else assembly_as_of(record, day),
        "record": record,
        "assembly": record.assembly,
        "resolution": record.resolution.record,
        "is_past_its_day": record.service_limit is not None and not record.service_limit.allows(today()),
        "order": record.assembly.run.line.order,
        "drawing": draw_assembly(drawing_of_resolution(record.resolution.record, unit)),
        "cut_seen": [] if record.cut is None else told_of(At.CUT, job, record.cut.record.seen),
        "ends": [_end(end, job) for end in record.ends],
        "inspections": [_inspection(written, job, record) for written in record.inspections],
        "concessions": [_concession(written) for written in record.concessions],
        "tests": [shown_test(written, job, record.proof_tests) for written in record.proof_tests],
        "release_seen": [] if record.release is None else _release_seen(record.release.record, job),
        "corrects": _corrects(record.assembly, request.user),
        "next": next_step(record.assembly),
        "acts": _acts(record, request.user, prints),
        "prints": prints,
        "is_reprint": prints > 0 or len(record.tags) > 1,
        "print_form": print_form,
        "retire_form": asked if isinstance(asked, RetireForm) else RetireForm(),
        "leave_form": asked if isinstance(asked, LeaveForm) else LeaveForm(),
        "refusal": getattr(asked, "refusal", None),
    }
    return render(request, "web/record/assembly.html", context, status=200 if asked is None else 422)


def _end(end: MadeEnd, job: Job) -> dict[str, Any]:
    """An end with what was seen at each crimp in words, and each set of readings drawn."""
    crimps = [
        {
            "made": crimp,
            "seen": _crimp_seen(crimp.written.record, job),
            "sets": [(measured, draw_judgement(measured.drawing)) for measured in crimp.measurements],
        }
        for crimp in end.crimps
    ]
    return {"end": end.end, "crimps": crimps, "unused_set_ups": end.unused_set_ups}


def _crimp_seen(crimp: Crimp, job: Job) -> list[str]:
    made = replace(job, end=End(crimp.end), made_to=crimp.specification)
    return told_of(At.CRIMP, made, crimp.seen)


def _release_seen(release: Release, job: Job) -> list[str]:
    """What was ticked at the release, by the policy of that day; nothing was before it was asked."""
    return told_of(At.RELEASE, replace(job, policy=release.policy or job.policy), release.seen or ())


def _corrects(assembly: Assembly, user: User) -> dict[str, Assembly | None]:
    """What of the assembly's records this person may correct now: the assembly under each kind's name."""
    is_here = assembly.state in ON_THE_ROAD
    may = {
        "readings": is_here and user.may(Permission.MAKE),
        "inspection": is_here and user.may(Permission.INSPECT),
        "test": assembly.state in (State.TESTED, State.TAGGED) and user.may(Permission.MAKE),
        "lots": user.may(Permission.DECIDE),
    }
    return {kind: assembly if allowed else None for kind, allowed in may.items()}


def _inspection(written: Written[Inspection], job: Job, record: AssemblyRecord) -> dict[str, Any]:
    """An inspection with what was seen in words, what was found wrong, and which one it corrects."""
    inspection = written.record
    erased = [ERASED] if inspection.private("faults") is None and written.told.private("faults") else []
    return {
        "written": written,
        "replaces": corrected_number(inspection.corrects_id, record.inspections),
        "seen": told_of(At.INSPECT, job, inspection.seen),
        "wrong": [*inspection.found_wrong, *erased],
    }


def _concession(written: Written[Concession]) -> dict[str, Any]:
    """A concession with what it concerns in words, and what was agreed."""
    return {
        "written": written,
        "concerns": [words for code, words in CONCEDABLE.items() if code in written.record.concerns],
        **{name: written.told.private(name) for name in ("agreed_by", "paper", "reason")},
    }


def _acts(record: AssemblyRecord, user: User, prints: int) -> Acts:
    assembly = record.assembly
    sound = assembly.trouble == Trouble.NONE and not (record.is_recalled or record.has_failed)
    can_print = sound and (
        assembly.state in (State.TESTED, State.TAGGED, State.RELEASED, State.SHIPPED)
        or (assembly.state == State.INSPECTED and not record.resolution.record.proof_test)
    )
    is_lost = record.replaced_by is None and (
        assembly.state == State.SCRAPPED or (assembly.state == State.RETIRED and record.shipment is None)
    )
    acts: dict[str, Any] = {
        "print": can_print and user.may(Permission.RELEASE),
        "ship": assembly.state == State.RELEASED and user.may(Permission.SHIP),
        "retire": assembly.state in (State.RELEASED, State.SHIPPED) and user.may(Permission.SHIP),
        "report": record.release is not None and user.may(Permission.TAKE_REPORTS),
        "replace": is_lost and user.may(Permission.MAKE),
        "leave": is_lost
        and user.may(Permission.CONFIRM_ORDERS)
        and to_be_replaced().filter(pk=assembly.pk).exists(),
        "evidence": user.may(Permission.AUDIT),
    }
    if acts["print"] and prints == 0:
        accent = "print"
    elif assembly.state in ON_THE_ROAD:
        accent = "bench"
    else:
        accent = next((act for act in ("ship", "replace") if acts[act]), "")
    return Acts(accent=accent, **acts)

"""The bench: what is to be made, and one question at a time for each assembly."""

from collections.abc import Callable

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from shop.assemblies.models import Assembly, End, Run
from shop.assemblies.pulling import pull_run, put_run_back
from shop.assemblies.refusals import NotTheNextStep
from shop.assemblies.steps import Step, next_step
from shop.core.refusals import Refusal
from shop.people.permissions import ALLOWED, Permission
from shop.web.access import StaffRequest, needs
from shop.web.bench.answers import somebody_elses, taken, too_late
from shop.web.bench.forms import FORMS, GatheringForm
from shop.web.bench.forms.testing import sent_with_curve
from shop.web.bench.order import SPAN, groups_of, open_jobs
from shop.web.bench.page import bench_page
from shop.web.bench.permits import PERMITS
from shop.web.refusing import answered_doubts, attempt


@require_GET
@needs(Permission.READ)
def index(request: StaffRequest) -> HttpResponse:
    """What is to be made, run by run, in the order in which the bench takes it."""
    page = Paginator(open_jobs(), 25).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "groups": groups_of(list(page)),
        "may_pull": request.user.may(Permission.MAKE),
        "span": SPAN.days,
    }
    return render(request, "web/bench/index.html", context)


@require_POST
@needs(Permission.MAKE)
def pull(request: StaffRequest, pk: int) -> HttpResponse:
    """The run is done before its turn."""
    return _turn(request, pk, pull_run, "{run} is next, after what was pulled before it.")


@require_POST
@needs(Permission.MAKE)
def put_back(request: StaffRequest, pk: int) -> HttpResponse:
    """The run waits for its turn again."""
    return _turn(request, pk, put_run_back, "{run} waits for its turn again.")


def _turn(request: StaffRequest, pk: int, act: Callable[..., Run], said: str) -> HttpResponse:
    run = get_object_or_404(Run, pk=pk)
    try:
        act(actor=request.user, run=run)
    except Refusal as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, said.format(run=run))
    return redirect("web:bench")


@require_GET
@needs(Permission.READ)
def assembly(request: StaffRequest, code: str) -> HttpResponse:
    """The next step of one assembly, or another one that may be taken `instead`."""
    found = _find(code)
    step = next_step(found)
    instead = next((other for other in step.also if other == request.GET.get("instead")), step.step)
    form_class, permission = FORMS.get(instead), PERMITS.get(instead, Permission.READ)
    if form_class is None:
        return bench_page(request, found, step, None)
    if not request.user.may(permission):
        return bench_page(request, found, step, None, waits_for=sorted(ALLOWED[permission]))
    return bench_page(request, found, step, form_class(assembly=found, end=step.end))


@require_POST
@needs(PERMITS[Step.CUT])
def cut(request: StaffRequest, code: str) -> HttpResponse:
    """The hose is cut from the scanned piece."""
    return _take(request, code, Step.CUT)


@require_POST
@needs(PERMITS[Step.SET_UP])
def set_up(request: StaffRequest, code: str) -> HttpResponse:
    """The crimper is set up with the scanned tooling."""
    return _take(request, code, Step.SET_UP)


@require_POST
@needs(PERMITS[Step.CRIMP])
def crimp(request: StaffRequest, code: str) -> HttpResponse:
    """An end is crimped with the scanned lots."""
    return _take(request, code, Step.CRIMP)


@require_POST
@needs(PERMITS[Step.MEASURE])
def measure(request: StaffRequest, code: str) -> HttpResponse:
    """The crimp was read with the caliper; more readings are welcome while it is held."""
    return _take(request, code, Step.MEASURE)


@require_POST
@needs(PERMITS[Step.DECIDE])
def decide(request: StaffRequest, code: str) -> HttpResponse:
    """Somebody decides about what is held or failed."""
    return _take(request, code, Step.DECIDE)


@require_POST
@needs(PERMITS[Step.INSPECT])
def inspect(request: StaffRequest, code: str) -> HttpResponse:
    """The finished assembly was looked at and measured."""
    return _take(request, code, Step.INSPECT)


@require_POST
@needs(PERMITS[Step.TEST])
def test(request: StaffRequest, code: str) -> HttpResponse:
    """The assembly was under proof pressure."""
    return _take(request, code, Step.TEST)


@require_POST
@needs(PERMITS[Step.TAG])
def tag(request: StaffRequest, code: str) -> HttpResponse:
    """The tag is made."""
    return _take(request, code, Step.TAG)


@require_POST
@needs(PERMITS[Step.RELEASE])
def release(request: StaffRequest, code: str) -> HttpResponse:
    """The tag was scanned on the hose."""
    return _take(request, code, Step.RELEASE)


def _find(code: str) -> Assembly:
    return get_object_or_404(Assembly.objects.select_related("run__resolution"), code=code)


def _take(request: StaffRequest, code: str, wanted: Step) -> HttpResponse:
    """Take the step, once. What can't be taken is said on the same page, and nothing typed is lost."""
    if (answer := somebody_elses(request)) is not None:
        return answer
    found, shown = _find(code), request.POST.get("end_shown")
    end = End(shown) if shown in End.values else next_step(found).end
    try:
        form = FORMS[wanted](sent_with_curve(request), assembly=found, end=end)
    except NotTheNextStep as refusal:
        return too_late(request, str(refusal), "web:bench_assembly", code=code)
    if isinstance(form, GatheringForm) and "take" not in request.POST:
        form.is_valid()  # takes in what was scanned; there is nothing to record yet
        return bench_page(request, found, next_step(found), form)
    said = attempt(form, lambda: form.send(request.user, answered_doubts(request.POST)))
    if said is None:
        return bench_page(request, found, next_step(found), form)
    return taken(request, said, "web:bench_assembly", code=code)

"""Tools in use: looking at them, reporting damage, and what they made since they were last found fit."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import URLPattern, path, reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.assemblies.wear import checks_of, record_tool_check, wear_of
from shop.people.names import names_of
from shop.people.permissions import Permission
from shop.tooling.models import Crimper, DieSet, StopPart, ToolCheck, WornTool
from shop.tooling.photos import kept_photo
from shop.tooling.refusals import PhotoDamaged
from shop.tooling.services import report_damage
from shop.trace.in_question import answer
from shop.trace.made_with import made_with, span_before
from shop.web.access import StaffRequest, needs
from shop.web.quality.as_of import asked_as_of
from shop.web.quality.recalls.asking import Asked, asked_of
from shop.web.refusing import attempt
from shop.web.registers.listing import list_page
from shop.web.registers.register import Register
from shop.web.templatetags.quantities import day
from shop.web.tools.forms import DamageForm, ToolCheckForm
from shop.web.tools.tables import MadeTable, made_rows

PAGES: Mapping[type[WornTool], str] = {
    Crimper: "crimpers",
    DieSet: "die_sets",
    StopPart: "stop_parts",
}


def wear_urls(registers: Sequence[Register]) -> list[URLPattern]:
    """For each register of tools that wear: `<name>_check`, `<name>_damage` and `<name>_made`."""
    return [
        path(
            f"{register.slug}/<int:pk>/{page}/", view, {"register": register}, name=f"{register.name}_{page}"
        )
        for register in registers
        for page, view in (("check", check), ("damage", damage), ("made", made))
    ]


def more_of_tool(request: StaffRequest, tool: Any) -> Mapping[str, Any]:
    """What the page of such a tool shows: its uses, its checks with who made each, what it made since."""
    checks = list(
        checks_of(tool).select_related("entry").prefetch_related("entry__private_texts").order_by("-entry")
    )
    names = names_of(check.actor_number for check in checks)
    wear, span = wear_of(tool), span_before(None, tool)
    return {
        "wear": wear,
        "since": f"since {day(wear.since)}" if wear.since else "",
        "checks": [(check, check.private("condition"), names[check.actor_number]) for check in checks],
        "made_count": made_with(tool, span).count(),
        "made_because": span.because,
        "asked": [] if tool.is_usable else asked_of(tool),
        "prescribed_by": _prescribed_by(tool),
        "may_check": request.user.may(Permission.KEEP_TOOLS),
        **_addresses(tool),
        **asked_as_of(request, tool),
    }


def _prescribed_by(tool: WornTool) -> str:
    """What the charts are looked up by; empty for a crimper, whose arrangements say it."""
    if isinstance(tool, DieSet):
        return f"die_type={tool.die_type_id}"
    return f"stop_type={tool.stop_type_id}" if isinstance(tool, StopPart) else ""


def _addresses(tool: WornTool) -> dict[str, str]:
    """Where the tool's own page and its further pages are."""
    name = PAGES[type(tool)]
    return {
        f"{page}_url": reverse(f"web:{name}_{page}", args=[tool.pk])
        for page in ("item", "check", "damage", "made")
    }


@require_http_methods(["GET", "POST"])
@needs(Permission.KEEP_TOOLS)
def check(request: StaffRequest, pk: int, register: Register) -> HttpResponse:
    """Say what was seen when the tool was looked at."""
    tool = get_object_or_404(register.model, pk=pk)
    assert isinstance(tool, WornTool)
    form = ToolCheckForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        done = attempt(form, lambda: record_tool_check(actor=request.user, tool=tool, **form.cleaned_values))
        if done is not None:
            return _after_check(request, register, done)
    context = {"register": register, "tool": tool, "form": form, "wear": wear_of(tool), **_addresses(tool)}
    return render(request, "web/tools/check.html", context)


def _after_check(request: StaffRequest, register: Register, done: ToolCheck) -> HttpResponse:
    if done.passed:
        messages.success(request, f"{done.tool} was looked at and is fit for use.")
        return redirect(register.url("item", done.tool.pk))
    messages.warning(request, f"{done.tool} is out of use from now on. Below is what it made.")
    return redirect(f"{register.url('made', done.tool.pk)}?check={done.pk}")


@require_http_methods(["GET", "POST"])
@needs(Permission.KEEP_TOOLS)
def damage(request: StaffRequest, pk: int, register: Register) -> HttpResponse:
    """Take a damaged tool out of use, then show what it made."""
    tool = get_object_or_404(register.model, pk=pk)
    assert isinstance(tool, WornTool)
    form = DamageForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        done = attempt(form, lambda: report_damage(actor=request.user, tool=tool, **form.cleaned_data))
        if done is not None:
            messages.warning(request, f"{tool} is out of use from now on. Below is what it made.")
            return redirect(register.url("made", pk))
    context = {"register": register, "tool": tool, "form": form, "asked": asked_of(tool), **_addresses(tool)}
    return render(request, "web/tools/damage.html", context)


@require_GET
@needs(Permission.READ)
def made(request: StaffRequest, pk: int, register: Register) -> HttpResponse:
    """What the tool made since it was last found fit, or, with `?check=`, between two checks."""
    tool = get_object_or_404(register.model, pk=pk)
    assert isinstance(tool, WornTool)
    asked = request.GET.get("check", "")
    at = get_object_or_404(checks_of(tool), pk=int(asked)) if asked.isdecimal() else None
    span = span_before(at, tool)
    rows = made_rows(made_with(tool, span))
    context = {
        "register": register,
        "tool": tool,
        "because": span.because,
        "count": rows.count(),
        "asked": asked_of(tool) if at is None else [Asked(answer(rows, f"were made with it {span.because}"))],
        "at": at,
    } | _addresses(tool)
    return list_page(request, MadeTable(rows), "web/tools/made.html", f"made-with-{tool.pk}", context)


@require_GET
@needs(Permission.READ)
def photo(request: StaffRequest, pk: int) -> HttpResponse:
    """The photo that was kept with a check."""
    at = get_object_or_404(ToolCheck, pk=pk)
    if not at.photo_sha256:
        raise Http404("No photo was taken at this check.")
    try:
        return HttpResponse(kept_photo(at.photo_sha256), content_type="image/jpeg")
    except PhotoDamaged as refusal:
        raise Http404(str(refusal)) from refusal

"""Where an assembly came from and what a thing led to, as a picture in which each box leads on."""

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shop.assemblies.models import Assembly
from shop.drawings.genealogy import Box, BoxColumn, GenealogyDrawing, draw_genealogy
from shop.people.permissions import Permission
from shop.trace.genealogy import SUBJECT, Genealogy, Node, ancestry_of, descent_of
from shop.trace.links import LINKS
from shop.trace.reaching import reached_from
from shop.web.access import StaffRequest, needs
from shop.web.quality.lookups.address import kind_of, lookup_address, own_page
from shop.web.quality.recalls.address import address_of


@require_GET
@needs(Permission.READ)
def came_from(request: StaffRequest, code: str) -> HttpResponse:
    """What one assembly came from, drawn and as a list in which each thing leads to all that it touched."""
    assembly = get_object_or_404(Assembly, code=code)
    touched = [(link, thing, kind_of(thing), lookup_address(thing)) for link, thing in reached_from(assembly)]
    return _show(request, ancestry_of(assembly), touched=touched, page=own_page(assembly))


@require_GET
@needs(Permission.READ)
def led_to(request: StaffRequest, link: str, pk: int) -> HttpResponse:
    """What a thing led to, by one of the ways in which assemblies lead to it."""
    if link not in LINKS:
        raise Http404
    thing = get_object_or_404(LINKS[link].model, pk=pk)
    return _show(request, descent_of(thing, LINKS[link]), page=lookup_address(thing))


def _show(request: StaffRequest, genealogy: Genealogy, **more: object) -> HttpResponse:
    context = {"genealogy": genealogy, "drawing": draw_genealogy(drawing_of(genealogy)), **more}
    return render(request, "web/quality/genealogy.html", context)


def drawing_of(genealogy: Genealogy) -> GenealogyDrawing:
    """The genealogy as it is drawn: its nodes as boxes that lead to their pages."""
    return GenealogyDrawing(
        genealogy.title,
        tuple(
            BoxColumn(column.heading, tuple(_box(node) for node in column.nodes))
            for column in genealogy.columns
            if column.nodes
        ),
        genealogy.lines,
    )


def _box(node: Node) -> Box:
    return Box(
        key=node.key,
        title=node.words,
        note=node.note,
        href=address_of(node.narrowed)
        if node.narrowed is not None
        else own_page(node.thing)
        if node.thing
        else "",
        is_subject=node.key == SUBJECT,
        is_group=node.is_group,
    )

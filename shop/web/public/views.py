"""What a phone shows that scans a tag."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET

from shop.drawings.assembly import draw_assembly
from shop.engineering.lengths import LengthUnit
from shop.trace.cautions import BEFORE_USE
from shop.trace.public import public_record_of
from shop.web.access import open_to_all
from shop.web.workshop import workshop_or_default


@require_GET
@open_to_all
@cache_control(no_store=True)
def tag(request: HttpRequest, code: str) -> HttpResponse:
    """The state of an assembly, then what it is. A code that is no assembly's leads to a warning."""
    workshop = workshop_or_default()
    today = timezone.now().astimezone(workshop.zone_info).date()
    record = public_record_of(code, today=today, unit=LengthUnit(workshop.length_unit))
    context = {"record": record, "cautions": BEFORE_USE, "typed": code}
    if record is None:
        return unlisted(render(request, "web/public/unknown.html", context, status=404))
    drawing = draw_assembly(record.drawing)
    return unlisted(render(request, "web/public/tag.html", {**context, "drawing": drawing}))


def unlisted(page: HttpResponse) -> HttpResponse:
    """Keep the page out of search engines, even where they don't read it."""
    page.headers["X-Robots-Tag"] = "noindex, nofollow"
    return page

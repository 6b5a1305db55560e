from django.urls import URLPattern, path

from shop.web.worksheets import views
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.sheet import Worksheet


def _pages(worksheet: Worksheet) -> list[URLPattern]:
    """The page `worksheet_<slug>` and `worksheet_<slug>_answer`, which answers while a person types."""
    known = {"worksheet": worksheet}
    address = worksheet.slug.replace("_", "-")
    return [
        path(f"{address}/", views.page, known, name=worksheet.name),
        path(f"{address}/answer/", views.answer, known, name=f"{worksheet.name}_answer"),
    ]


urlpatterns = [
    path("", views.index, name="worksheets"),
    *(page for worksheet in WORKSHEETS for page in _pages(worksheet)),
]

from django.urls import URLPattern, path

from shop.web.worksheets import keeping, views
from shop.web.worksheets.catalogue import WORKSHEETS
from shop.web.worksheets.sheet import Worksheet


def _pages(worksheet: Worksheet) -> list[URLPattern]:
    """The page `worksheet_<slug>`; `…_answer` for while a person types, `…_attach` to keep it with a line."""
    known = {"worksheet": worksheet}
    address = worksheet.slug.replace("_", "-")
    return [
        path(f"{address}/", views.page, known, name=worksheet.name),
        path(f"{address}/answer/", views.answer, known, name=f"{worksheet.name}_answer"),
        path(f"{address}/attach/", keeping.attach, known, name=f"{worksheet.name}_attach"),
    ]


urlpatterns = [
    path("", views.index, name="worksheets"),
    path("attached/<int:pk>/", keeping.attached, name="attached_worksheet"),
    path("attached/<int:pk>/off/", keeping.attached_off, name="attached_worksheet_off"),
    *(page for worksheet in WORKSHEETS for page in _pages(worksheet)),
]

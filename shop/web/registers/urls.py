"""The pages of a register, each under its own name and permission."""

from collections.abc import Callable
from typing import Any

from django.http import HttpResponseBase
from django.urls import URLPattern, path
from django.views.decorators.http import require_http_methods

from shop.people.permissions import Permission
from shop.web.access import StaffRequest, needs
from shop.web.registers import views
from shop.web.registers.csv_page import csv_page
from shop.web.registers.register import Register

LOOK, WRITE = ("GET", "HEAD"), ("GET", "HEAD", "POST")
Page = Callable[..., HttpResponseBase]


def register_urls(register: Register) -> list[URLPattern]:
    """The addresses of a register: `<name>`, `<name>_new`, `<name>_item`, `<name>_change`, `<name>_csv`,
    `<name>_template`, `<name>_export`, and `<name>_confirm` and `<name>_labels` where it has them."""
    slug = register.slug
    pages: list[tuple[str, str, Page, Permission, tuple[str, ...]]] = [
        (f"{slug}/", "", views.list_rows, register.read, LOOK),
        (f"{slug}/new/", "_new", views.add, register.write, WRITE),
        (f"{slug}/<int:pk>/", "_item", views.look, register.read, LOOK),
        (f"{slug}/<int:pk>/change/", "_change", views.change, register.write, WRITE),
        (f"{slug}/csv/", "_csv", _take_csv, register.write, WRITE),
        (f"{slug}/csv/template/", "_template", views.template, register.write, LOOK),
        (f"{slug}/export/", "_export", views.export_rows, register.read, LOOK),
    ]
    if register.confirm is not None:
        pages.append(
            (f"{slug}/<int:pk>/confirm/", "_confirm", views.confirm, Permission.CONFIRM_RATINGS, WRITE)
        )
    if register.label:
        pages.append((f"{slug}/labels/", "_labels", views.labels, register.read, LOOK))
    return [
        path(address, _guarded(view, register, permission, methods), name=register.name + page)
        for address, page, view, permission, methods in pages
    ]


def _guarded(view: Page, register: Register, permission: Permission, methods: tuple[str, ...]) -> Page:
    def page(request: StaffRequest, /, **kwargs: Any) -> HttpResponseBase:
        return view(request, register, **kwargs)

    page.__doc__ = view.__doc__
    page.__name__ = view.__name__
    return require_http_methods(methods)(needs(permission)(page))


def _take_csv(request: StaffRequest, register: Register) -> HttpResponseBase:
    """Take rows in from a CSV, after a dry run."""
    frame = {
        "title": f"Take {register.title.lower()} in from a CSV",
        "trail": [
            (register.place_url, register.place.capitalize()),
            (register.list_url, register.title),
        ],
        "template_url": register.url("template"),
    }
    return csv_page(request, views.sheet_of(register), done_url=register.list_url, frame=frame)

"""Every page, by workplace."""

from django.urls import URLPattern, URLResolver, include, path

_pages: list[URLPattern | URLResolver] = [
    path("", include("shop.web.door.urls")),
    path("", include("shop.web.scan.urls")),
    path("", include("shop.web.public.urls")),
    path("assembly/", include("shop.web.record.urls")),
    path("counter/", include("shop.web.counter.urls")),
    path("bench/", include("shop.web.bench.urls")),
    path("stores/", include("shop.web.stores.urls")),
    path("tools/", include("shop.web.tools.urls")),
    path("quality/", include("shop.web.quality.urls")),
    path("reference/worksheets/", include("shop.web.worksheets.urls")),
    path("reference/", include("shop.web.reference.urls")),
]

urlpatterns = [path("", include((_pages, "web")))]

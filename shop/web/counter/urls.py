from django.urls import path

from shop.web import erasing
from shop.web.counter import line_views, looking, views
from shop.web.counter.customers import CUSTOMERS
from shop.web.registers.urls import register_urls

LINE = "orders/<str:code>/lines/<int:position>/"

urlpatterns = [
    path("", views.index, name="counter"),
    path("orders/", looking.orders, name="orders"),
    path("assemblies/", looking.assemblies, name="assemblies"),
    path("orders/new/", views.order_new, name="order_new"),
    path("orders/<str:code>/", views.order, name="order"),
    path("orders/<str:code>/change/", views.order_change, name="order_change"),
    path("orders/<str:code>/lines/new/", line_views.line_new, name="line_new"),
    path("orders/<str:code>/lines/preview/", line_views.line_preview, name="line_preview"),
    path(LINE, line_views.line, name="line"),
    path(f"{LINE}change/", line_views.line_change, name="line_change"),
    path(f"{LINE}confirm/", line_views.line_confirm, name="line_confirm"),
    path(f"{LINE}again/", line_views.line_again, name="line_again"),
    path(f"{LINE}cancel/", line_views.line_cancel, name="line_cancel"),
    path("parts/", line_views.line_parts, name="line_parts"),
    *register_urls(CUSTOMERS),
    path("customers/<int:pk>/erase/", erasing.customer, name="customers_erase"),
]

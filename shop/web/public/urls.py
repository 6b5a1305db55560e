from django.urls import path

from shop.web.public import failing, views

urlpatterns = [
    # As the QR has it: upper case and without a slash at the end. People type the others.
    path("T/<str:code>", views.tag, name="tag"),
    path("T/<str:code>/", views.tag),
    path("t/<str:code>", views.tag),
    path("t/<str:code>/", views.tag),
    path("T/<str:code>/failed/", failing.failed, name="failed"),
    path("T/failed/<str:reference>", failing.receipt, name="failed_receipt"),
]

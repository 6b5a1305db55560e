from django.urls import path

from shop.web.scan import views

urlpatterns = [
    path("scan/", views.scan, name="scan"),
    path("scan/photo/", views.scan_photo, name="scan_photo"),
]

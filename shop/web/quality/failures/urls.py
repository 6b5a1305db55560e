from django.urls import path

from shop.web.quality.failures import views

urlpatterns = [
    path("failures/", views.index, name="failures"),
    path("failures/<str:code>/", views.item, name="failure"),
    path("failures/<str:code>/found/", views.found, name="failure_found"),
    path("failures/<str:code>/photos/<int:number>/", views.photo, name="failure_photo"),
]

from django.urls import path

from shop.web.reference import views

urlpatterns = [path("", views.index, name="reference")]

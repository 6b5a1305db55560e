from django.urls import path

from shop.web.stores import views

urlpatterns = [path("", views.index, name="stores")]

from django.urls import path

from shop.web.tools import views

urlpatterns = [path("", views.index, name="tools")]

from django.urls import path

from shop.web.counter import views

urlpatterns = [path("", views.index, name="counter")]

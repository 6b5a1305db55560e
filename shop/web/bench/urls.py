from django.urls import path

from shop.web.bench import views

urlpatterns = [path("", views.index, name="bench")]

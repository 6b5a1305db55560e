from django.urls import path

from shop.web.quality import views

urlpatterns = [path("", views.index, name="quality")]

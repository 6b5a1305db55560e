from django.urls import path

from shop.web.quality.lookups import views

urlpatterns = [
    path("look-up/", views.find, name="look_up"),
    path("look-up/<slug:kind>/<int:pk>/", views.looked_up, name="looked_up"),
]

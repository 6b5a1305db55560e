from django.urls import path

from shop.web.quality.lengths import views

urlpatterns = [
    path("lengths/", views.index, name="finished_lengths"),
    path("lengths/<int:hose>/<int:series>/", views.item, name="finished_lengths_of"),
    path("lengths/<int:hose>/<int:series>/adopt/", views.adopt, name="finished_lengths_adopt"),
    path("lengths/<int:hose>/<int:series>/end/", views.end, name="finished_lengths_end"),
]

from django.urls import path

from shop.web.door import views

urlpatterns = [
    path("", views.home, name="home"),
    path("sign-in/", views.sign_in, name="sign_in"),
    path("person/", views.change_person, name="change_person"),
    path("pin/", views.own_pin, name="own_pin"),
    path("sign-out/", views.sign_out, name="sign_out"),
    path("begin/", views.first_page, name="first_page"),
]

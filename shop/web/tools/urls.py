from django.urls import path

from shop.web.registers.urls import register_urls
from shop.web.tools import gauge_page, looking_up, pressure_gauges, views, wear
from shop.web.tools.calibration_sheets import calibration_urls
from shop.web.tools.found_wrong import found_wrong_urls
from shop.web.tools.registers import REGISTERS, WORN

urlpatterns = [
    path("", views.index, name="tools"),
    path("gauges/<int:pk>/calibrate/", views.calibrate, name="gauges_calibrate"),
    path("pressure-gauges/<int:pk>/calibrate/", pressure_gauges.calibrate, name="pressure_gauges_calibrate"),
    path("gauges/<int:pk>/try/", gauge_page.try_gauge, name="gauges_try"),
    path("look-up/", looking_up.look_up, name="look_up_tooling"),
    path("checks/<int:pk>/photo/", wear.photo, name="tool_photo"),
    *calibration_urls(),
    *found_wrong_urls(),
    *wear.wear_urls(WORN),
    *(page for register in REGISTERS for page in register_urls(register)),
]

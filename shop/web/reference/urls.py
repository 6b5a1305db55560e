from django.urls import path

from shop.web.reference import compare, figures, figures_confirm, governing, search, sizes, tolerances, views
from shop.web.reference.registers import REGISTERS
from shop.web.registers.urls import register_urls

urlpatterns = [
    path("", views.index, name="reference"),
    path("load-standards/", views.load_standards, name="load_standards"),
    path("hoses/compare/", compare.compare_hoses, name="hoses_compare"),
    path("search/", search.search, name="reference_search"),
    path("sizes/", sizes.sizes, name="sizes"),
    path("tolerances/", tolerances.tolerances, name="tolerances"),
    path("hoses/<int:pk>/rating/", governing.choose_governing, name="hoses_choose_rating"),
    path("figures/", figures.figures, name="figures"),
    path("figures/<slug:table>/<int:number>/", figures_confirm.confirm, name="figures_confirm"),
    *(page for register in REGISTERS for page in register_urls(register)),
]

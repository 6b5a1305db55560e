from django.urls import path

from shop.web import erasing
from shop.web.quality import as_of, authorities, genealogy, people, views
from shop.web.quality.charts.urls import urlpatterns as chart_pages
from shop.web.quality.choices import views as choices
from shop.web.quality.failures.urls import urlpatterns as failure_pages
from shop.web.quality.ledger import views as ledger
from shop.web.quality.lengths.urls import urlpatterns as length_pages
from shop.web.quality.lookups.urls import urlpatterns as lookup_pages
from shop.web.quality.recalls.urls import urlpatterns as recall_pages
from shop.web.quality.seals.urls import urlpatterns as seal_pages
from shop.web.registers.urls import register_urls

urlpatterns = [
    path("", views.index, name="quality"),
    path("as-of/", as_of.as_of_a_day, name="as_of"),
    path("held/", views.held, name="held"),
    *chart_pages,
    *failure_pages,
    *length_pages,
    *lookup_pages,
    *recall_pages,
    *register_urls(people.PEOPLE),
    *register_urls(authorities.AUTHORITIES),
    path("people/<int:pk>/erase/", erasing.person, name="people_erase"),
    path("people/<int:pk>/password/", people.set_password, name="people_password"),
    path("people/<int:pk>/pin/", people.set_persons_pin, name="people_pin"),
    path("genealogy/<str:code>/", genealogy.came_from, name="genealogy_of"),
    path("genealogy/<slug:link>/<int:pk>/", genealogy.led_to, name="genealogy_from"),
    path("policy/", choices.policy, name="policy"),
    path("policy/new/", choices.new_policy, name="policy_new"),
    path("workshop/", choices.workshop, name="workshop"),
    path("ledger/", ledger.ledger, name="ledger"),
    *seal_pages,
]

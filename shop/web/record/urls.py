from django.urls import path

from shop.web.quality.failures import views as failures
from shop.web.record import proof, views

urlpatterns = [
    path("<str:code>/", views.assembly, name="assembly"),
    path("<str:code>/tag.pdf", views.tag_pdf, name="tag_pdf"),
    path("<str:code>/tag/", views.tag_make, name="tag_make"),
    path("<str:code>/proof-tests/<int:number>/curve.csv", proof.curve, name="proof_curve"),
    path("<str:code>/failed/", failures.take, name="assembly_failed"),
    path("<str:code>/ship/", views.assembly_ship, name="assembly_ship"),
    path("<str:code>/retire/", views.assembly_retire, name="assembly_retire"),
    path("<str:code>/replace/", views.assembly_replace, name="assembly_replace"),
    path("<str:code>/events.json", views.events, name="assembly_events"),
    path("<str:code>/evidence/", views.evidence, name="assembly_evidence"),
    path("<str:code>/leave/", views.assembly_leave, name="assembly_leave"),
]

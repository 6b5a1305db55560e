from django.urls import path

from shop.web.quality.recalls import suspecting, views

urlpatterns = [
    path("suspect/", suspecting.suspect, name="suspect"),
    path("suspect/narrow/", suspecting.narrow, name="suspect_narrow"),
    path("suspect/recall/", suspecting.open_it, name="recall_open"),
    path("recalls/", views.index, name="recalls"),
    path("recalls/<int:number>/", views.item, name="recall"),
    path("recalls/<int:number>/found/", views.found, name="recall_found"),
    path("recalls/<int:number>/more/", views.more, name="recall_more"),
    path("recalls/<int:number>/evidence/", views.evidence, name="recall_evidence"),
    path("recalls/<int:number>/close/", views.close, name="recall_close"),
    path("recalls/<int:number>/customers/<int:customer>/answer/", views.answer, name="recall_answer"),
    path("recalls/<int:number>/customers/<int:customer>/letter/", views.letter, name="recall_letter"),
]

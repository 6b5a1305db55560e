from django.urls import path

from shop.web.quality.failures import common, dossier, erasing, views

urlpatterns = [
    path("failures/", views.index, name="failures"),
    path("failures/in-common/", common.common, name="failures_in_common"),
    path("failures/<str:code>/", views.item, name="failure"),
    path("failures/<str:code>/found/", views.found, name="failure_found"),
    path("failures/<str:code>/erase/", erasing.erase, name="failure_erase"),
    path("failures/<str:code>/dossier/", dossier.page, name="failure_dossier"),
    path("failures/<str:code>/dossier.pdf", dossier.pdf, name="failure_dossier_pdf"),
    path("failures/<str:code>/dossier.zip", dossier.folder, name="failure_dossier_folder"),
    path("failures/<str:code>/photos/<int:number>/", views.photo, name="failure_photo"),
]

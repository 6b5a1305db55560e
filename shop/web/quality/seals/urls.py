from django.urls import path

from shop.web.quality.seals import views

urlpatterns = [
    path("ledger/seals/", views.seals, name="ledger_seals"),
    path("ledger/seals/now/", views.seal_now, name="ledger_seal_now"),
    path("ledger/seals/file/", views.all_as_file, name="ledger_seals_file"),
    path("ledger/seals/<int:pk>/", views.seal, name="ledger_seal"),
    path("ledger/seals/<int:pk>/file/", views.as_file, name="ledger_seal_file"),
    path("ledger/seals/verify.py", views.evidence_verifier, name="evidence_verifier"),
    path("ledger/seals/key/", views.key, name="sealing_key"),
]

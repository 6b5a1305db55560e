from django.urls import path

from shop.web.bench import correcting, runs, sheets, views
from shop.web.bench.card import views as card

urlpatterns = [
    path("", views.index, name="bench"),
    path("runs/<int:pk>/", runs.run, name="bench_run"),
    path("runs/<int:pk>/job-card/", card.entered, name="job_card"),
    path("runs/<int:pk>/job-card/pdf/", card.printed, name="job_card_pdf"),
    path("runs/<int:pk>/pull/", views.pull, name="bench_run_pull"),
    path("runs/<int:pk>/put-back/", views.put_back, name="bench_run_put_back"),
    *(
        path(f"runs/<int:pk>/{step.value.replace('_', '-')}/", view, name=f"bench_run_{step}")
        for step, view in runs.STEPS.items()
    ),
    path("<str:code>/", views.assembly, name="bench_assembly"),
    path("<str:code>/set-up-sheet/<str:end>/", sheets.sheet, name="bench_set_up_sheet"),
    path("<str:code>/set-up-sheet/<str:end>/pdf/", sheets.sheet_pdf, name="bench_set_up_sheet_pdf"),
    *(
        path(f"<str:code>/correct-{name}-<int:pk>/", view, name=f"correct_{name}")
        for name, view in correcting.VIEWS.items()
    ),
    path("<str:code>/cut/", views.cut, name="bench_cut"),
    path("<str:code>/set-up/", views.set_up, name="bench_set_up"),
    path("<str:code>/crimp/", views.crimp, name="bench_crimp"),
    path("<str:code>/measure/", views.measure, name="bench_measure"),
    path("<str:code>/decide/", views.decide, name="bench_decide"),
    path("<str:code>/inspect/", views.inspect, name="bench_inspect"),
    path("<str:code>/test/", views.test, name="bench_test"),
    path("<str:code>/tag/", views.tag, name="bench_tag"),
    path("<str:code>/release/", views.release, name="bench_release"),
]

from django.urls import path

from shop.web.quality.charts import issued, views
from shop.web.quality.charts.register import CHARTS
from shop.web.registers.urls import register_urls

urlpatterns = [
    *register_urls(CHARTS),
    path("charts/<int:pk>/lines/new/", views.new_line, name="chart_line_new"),
    path("charts/<int:pk>/lines/csv/", views.take_lines, name="chart_lines_csv"),
    path("charts/<int:pk>/lines/export/", views.export_lines, name="chart_lines_export"),
    path("charts/<int:pk>/check/", views.check, name="chart_check"),
    path("charts/<int:pk>/issue/", views.issue, name="chart_issue"),
    path("chart-lines/<int:pk>/change/", views.change_line, name="chart_line_change"),
    path("chart-lines/<int:pk>/remove/", views.remove_line, name="chart_line_remove"),
    path("chart-issues/<int:pk>/", issued.issued_chart, name="issued_chart"),
    path("chart-issues/lines/<int:pk>/", issued.issued_line, name="issued_line"),
    path("chart-issues/<int:pk>/withdraw/", views.withdraw, name="chart_withdraw"),
]

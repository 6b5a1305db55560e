from django.apps import AppConfig


class TraceConfig(AppConfig):
    name = "shop.trace"

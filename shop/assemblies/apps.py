from django.apps import AppConfig


class AssembliesConfig(AppConfig):
    name = "shop.assemblies"

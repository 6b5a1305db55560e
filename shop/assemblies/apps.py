from django.apps import AppConfig


class AssembliesConfig(AppConfig):
    name = "shop.assemblies"

    def ready(self) -> None:
        from shop.assemblies import verbs  # noqa: F401  # fills the ledger's registry
        from shop.assemblies.consistency import register

        register()

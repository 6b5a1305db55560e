from django.apps import AppConfig


class TraceConfig(AppConfig):
    name = "shop.trace"

    def ready(self) -> None:
        from shop.ledger.checking import register_consistency_check
        from shop.trace import verbs  # noqa: F401  # fills the ledger's registry
        from shop.trace.failures.photos import photos_that_are_not_as_kept

        register_consistency_check("trace.photos", photos_that_are_not_as_kept)

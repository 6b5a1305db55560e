from django.apps import AppConfig


class DocumentsConfig(AppConfig):
    name = "shop.documents"

    def ready(self) -> None:
        from shop.documents import verbs  # noqa: F401  # fills the ledger's registry
        from shop.documents.consistency import papers_that_are_not_as_issued
        from shop.ledger.checking import register_consistency_check

        register_consistency_check("kept papers", papers_that_are_not_as_issued)

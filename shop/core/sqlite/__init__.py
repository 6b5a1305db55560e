"""Django's SQLite, where threads of one server write in turn (DATABASES, ENGINE)."""

"""A workshop of very many assemblies: a small one made through the services, and copies of its work."""

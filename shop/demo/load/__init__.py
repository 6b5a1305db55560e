"""Benches under load: a scratch workshop, people who record steps by HTTP, and what became of each step."""

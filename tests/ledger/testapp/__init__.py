"""A drawer with tools and their wear: just enough of a workshop to try the ledger on."""

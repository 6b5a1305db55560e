"""Seals over the chains: signed roots that, held elsewhere, show any later change, a cut end included.

`statements` says what is signed, `keys` keeps the private half, `leaves` reads what a tree is made of,
`files` writes and reads exported seals, `proofs` shows that an entry is under a seal, `daily` seals by
itself. Sealing itself is a service, in `shop.ledger.services`.
"""

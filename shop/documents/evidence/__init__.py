"""Evidence packages: what the ledger holds of an assembly or a recall, in one ZIP that shows by itself that
nothing was changed since it was sealed.

`choosing` says which entries go in, `telling` writes each as it was hashed, `packing` makes the container,
`sheets` the printed summary, `taking` is the service. `verify.py` goes into each package as it is: it stands
alone and imports nothing of the program.
"""

from shop.documents.evidence.taking import Taken, take_evidence

__all__ = ["Taken", "take_evidence"]

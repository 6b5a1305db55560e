"""The append-only, hash-chained journal of the workshop.

Other apps fill it: each registers its verbs (`registry`), derives its write-once tables from
`models.Record` and writes through `services`. `triggers` makes the databases refuse changes,
`checking` finds what was changed all the same.
"""

"""Registers: the kinds of the workshop's own data, each with the same pages.

A `Register` says what is kept; `register_urls` makes its pages: list, add, look, change, a CSV to take
in with a dry run, export, labels, and the confirmation of a rating where there is one.
"""

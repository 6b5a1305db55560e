"""The calculations: pure Python, no Django, no input or output.

Decimal wherever a person reads the number, units in the names, the source beside each formula.
Whatever makes no sense is refused with an `EngineeringError` whose message a person can act on.
"""

"""Long numbers for people who compare them with paper."""

from django import template

register = template.Library()


@register.filter
def in_fours(digits: str) -> str:
    """Hexadecimal digits in groups of four: `0f3a 99c1`."""
    return " ".join(digits[n : n + 4] for n in range(0, len(digits), 4))

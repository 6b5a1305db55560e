"""Drawings as SVG, made from data alone: no Django, no font files, the same text for the same data.

Every drawing carries its own presentation attributes, so that it prints without a style sheet, and
draws its lines in `currentColor`, so that a dark page shows it light.
"""

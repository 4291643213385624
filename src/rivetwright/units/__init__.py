"""Lengths, forces, pressures, air and weights as people write them, and the way back.

Lengths parse to exact fractions of a millimetre; one tolerance decides limits and
ties.  Nothing here knows a rivet.
"""

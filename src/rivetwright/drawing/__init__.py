"""The pictures, drawn once for screen and paper: hole map, row strip, stack, legend.

Lengths inside a picture are millimetres on the part. What is not on the part
(letters, signs, margins) is sized in millimetres as drawn, times the scale.
"""

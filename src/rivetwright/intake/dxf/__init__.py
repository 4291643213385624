"""A DXF drawing as shapes: circles, closed outlines, and what was not understood.

Reads only; which layer is which part and which circle is a hole, a person says.
"""

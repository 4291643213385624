"""A plan as a spreadsheet: one sheet for parts, one for rows, and so on.

The same fields as the plan file, checked by the same rules; only the place of a
mistake is a sheet and a cell instead of a line.  No formula is ever worked out.
"""

"""What published sources say: rivets, drills, limits, spacing, strength.

Every figure is a row of a CSV file under ``tables``, as printed, with its document,
place and status.  A look-up is exact; outside its table it refuses.
"""

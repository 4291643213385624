"""Rows out of bare points: what a drawing's circles most likely mean.

Every way in that gives points asks here: a drawing file, a list of places, a picture.
A person confirms each row, so each says how sure it is and what it leaves out.
Refuses nothing: what belongs to no row is left over, never dropped.
"""

"""Learning from measured heads: what a set-up really makes, and when that changes.

`charts` are the control charts as published, `robust` the fit that a slip cannot pull,
`measured` a head with what it was reckoned from, `offset` what a set of dies and a yoke
add to the reckoning, `drift` the alarm when that changes, `wear` its slow trend,
`capability` how many of a hundred heads come out of limits, `told` all of it by name
for the set-ups.
"""

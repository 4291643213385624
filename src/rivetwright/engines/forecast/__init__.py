"""How long still: own rates, what repetition saves, and what may come between."""

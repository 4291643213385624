"""The plan, the shop and the state as frozen values; they know themselves only."""

"""Which tools get to a hole: what stands round it, and each tool against that."""

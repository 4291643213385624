"""Stock: what the holes still take, what is short and when, orders, substitutes."""

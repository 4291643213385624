"""What comes before what: precedence, the calendar, one pair of hands, the chain."""

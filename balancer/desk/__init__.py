"""What a question works with, typed or touched: the bar's folder and log, the clock, numbers as people write them."""

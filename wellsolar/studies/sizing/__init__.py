"""From what is needed to what to buy: each size is the smallest that its verdicts let pass."""
